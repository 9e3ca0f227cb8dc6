import { expect, test } from 'vitest';
import type { CellContext } from '../../kernel-lib/cells/run/cell-context';
import { createCellErrors } from '../../kernel-lib/cells/run/cell-errors';

// Stacks as the engines wrote them, recorded in November 2026 in Debian 12's Chromium 156, Firefox 153 ESR and WebKitGTK
// 2.50 while cells of this kernel ran, shortened at their ends. The cell: a getter that throws in its line 3, or 2, or in
// a function called from its last line. Columns are each engine's own.

const recorded: readonly (readonly [string, string, readonly (readonly [string, number])[]])[] = [
  [
    'Chromium, in a callback',
    'RangeError: y\n    at get y (cell:0:1:3:46)\n    at eval (cell:0:1:3:93)\n    at Array.map (<anonymous>)\n    at Object.g (cell:0:1:3:75)\n    at blob:http://127.0.0.1:34677/afbdb86e-e008-4ea3-8400-de9f98127f67:5:113',
    [
      ['get y', 3],
      ['eval', 3],
      ['Object.g', 3],
    ],
  ],
  [
    'Firefox, in a callback',
    'get y@cell:0:1:3:46\ng/<@cell:0:1:3:85\ng@cell:0:1:3:75\n@blob:http://127.0.0.1:34677/09b7a8a5-639b-43df-a4dd-8bb33fedf2f9:5:113\n',
    [
      ['get y', 3],
      ['g/<', 3],
      ['g', 3],
    ],
  ],
  [
    'Firefox, through functions of two cells',
    'inner@cell:0:1:3:11\nouter@cell:0:1:6:22\ntell@cell:0:2:4:26\n@cell:0:2:10:25\ncreateCellRunner/invoke/<@blob:null/3e2a6586-3af4-40ec-a805-4d1df05a1157:38:110\n',
    [
      ['inner', 3],
      ['outer', 6],
      ['tell', 4],
      ['', 10],
    ],
  ],
  [
    'WebKit, through functions of two cells',
    'inner@blob:null/53ce5242-ea9a-4b54-b01e-2604ca3b54ec:3:20\nouter@blob:null/53ce5242-ea9a-4b54-b01e-2604ca3b54ec:6:22\ntell@blob:null/c74940e0-dd8f-4c6f-83b9-4836a1aad081:4:26\n@blob:null/c74940e0-dd8f-4c6f-83b9-4836a1aad081:10:25\nbegin3@blob:null/a3d4f348-2f66-4159-9122-02ae223b30d9:38:911',
    [
      ['inner', 3],
      ['outer', 6],
      ['tell', 4],
      ['', 10],
    ],
  ],
];

test.each(recorded)('%s: frames of cells, by name and line', (_, stack, frames) => {
  const scripts = new Map([
    ['blob:null/53ce5242-ea9a-4b54-b01e-2604ca3b54ec', 'cell:0:1'],
    ['blob:null/c74940e0-dd8f-4c6f-83b9-4836a1aad081', 'cell:0:2'],
  ]);
  const errors = createCellErrors({
    inspect: String,
    namedStack: (text) =>
      text.replace(/blob:[^\s@]*?(?=:\d+:\d+$)/gm, (address) => scripts.get(address) ?? address),
  });
  const found = errors.emittedFrames(Object.assign(new Error(), { stack }));
  expect(found.map(({ name, line }) => [name, line])).toEqual(frames);
  // Said to the reader: the cell's own line, counted behind the line that goes before a cell's own in its script.
  const cells = createCellErrors({ inspect: String, headLines: 1, namedStack: (text) => text });
  cells.note(0, { source: 'a\nb\nc', count: 7, place: (at) => at, context: {} as CellContext });
  const [, line] = frames[0];
  const own = stack.replaceAll(/blob:null\/53ce[\w-]+/g, 'cell:0:1');
  const said = cells.inWords(Object.assign(new Error('y'), { stack: own }), undefined);
  expect(said.traceback.join('\n')).toContain(`cell [7], line ${line - 1}`);
});
