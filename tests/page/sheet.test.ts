import { describe, expect, test } from 'vitest';
import type { Cell, CodeCell, Output, Role } from '../../kernel-lib/notebook/notebook';
import { placeIn, withMessage } from '../../kernel-lib/page/sheet/outputs';
import { questionRows, totals } from '../../kernel-lib/page/sheet/standing';
import { needsFirst, partsOf } from '../../kernel-lib/page/sheet/working';
import { verdictMimeType } from '../../kernel-lib/questions/verdict';

const code = (id: string, role?: Role, question?: string, outputs: Output[] = []): CodeCell => ({
  cell_type: 'code',
  id,
  source: id,
  metadata: role ? { multislit: { sheet: 's', role, question } } : {},
  execution_count: null,
  outputs,
});
const text = (id: string, role: Role, question?: string, source = id): Cell => ({
  cell_type: 'markdown',
  id,
  source,
  metadata: { multislit: { sheet: 's', role, question } },
});
const verdict = (question: string, state: string, marks: number, outOf: number): Output => ({
  output_type: 'display_data',
  data: { [verdictMimeType]: { question, asks: 'x', state, marks, outOf, message: 'm' } },
  metadata: {},
});

describe('what has to run before a cell', () => {
  const cells = [
    code('student-number', 'work'),
    code('given', 'given'),
    code('w1', 'work', '1'),
    code('c1', 'answer', '1'),
    code('w2', 'work', '2'),
    code('own'),
    code('c2', 'answer', '2'),
  ];

  test('of an answer: the givens and the working of its own question, cells that were added included', () => {
    expect(needsFirst(cells, 'c2', new Map())).toEqual(['student-number', 'given', 'w2', 'own']);
  });
  test('of working: the givens only', () => {
    expect(needsFirst(cells, 'w2', new Map())).toEqual(['student-number', 'given']);
  });
  test('nothing that has run as it stands, but what was changed since', () => {
    const ran = new Map([
      ['student-number', 'student-number'],
      ['given', 'given'],
      ['w2', 'something else'],
      ['own', 'own'],
    ]);
    expect(needsFirst(cells, 'c2', ran)).toEqual(['w2']);
  });
  test('with another student number the givens, too, though their own cell is as it ran', () => {
    const ran = new Map(cells.map(({ id }) => [id, id]));
    expect(needsFirst(cells, 'c2', ran)).toEqual([]);
    expect(needsFirst(cells, 'c2', ran.set('student-number', 'before'))).toEqual([
      'student-number',
      'given',
    ]);
  });
  test('of a cell that is not there: nothing', () => {
    expect(needsFirst(cells, 'gone', new Map())).toEqual([]);
  });
});

describe('outputs as the kernel publishes them', () => {
  const stream = (name: string, words: string) => ({
    header: { msg_type: 'stream' },
    content: { name, text: words },
  });

  test('text on the same stream runs together, on another starts anew', () => {
    const all = [stream('stdout', 'a'), stream('stdout', 'b'), stream('stderr', 'c')];
    expect(all.reduce<Output[]>((list, message) => withMessage(list, message), [])).toEqual([
      { output_type: 'stream', name: 'stdout', text: 'ab' },
      { output_type: 'stream', name: 'stderr', text: 'c' },
    ]);
  });
  test('a flood is cut off once, and says so', () => {
    const flood = stream('stdout', 'x'.repeat(400_000));
    const twice = withMessage(withMessage([], flood), flood);
    const [output] = withMessage(twice, flood);
    expect(withMessage(twice, flood)).toBe(twice);
    expect(String('text' in output && output.text)).toMatch(/… the rest is not kept\.\n$/);
  });
  test('messages that are no output leave the list as it is', () => {
    const list: Output[] = [];
    expect(withMessage(list, { header: { msg_type: 'status' }, content: {} })).toBe(list);
  });
});

describe('where an error lies', () => {
  const error = (...traceback: string[]): Output[] => [
    { output_type: 'error', ename: 'TypeError', evalue: 'no (line 9, column 9)', traceback },
  ];

  test.each([
    ['of the compiler', ['TypeScriptError: x', 'line 2, column 5: x', '2 | abc'], [2, 5]],
    ['of the running cell', ['TypeError: x', '    at line 3, column 7'], [3, 7]],
    ['in a function of the cell', ['TypeError: x', '    at half, line 4, column 1'], [4, 1]],
    [
      'first in another cell',
      ['E: x', '    at f, cell [1], line 8, column 8', '    at line 2, column 3'],
      [2, 3],
    ],
  ])('%s', (_, traceback, [line, column]) => {
    expect(placeIn(error(...traceback))).toEqual({ line, column, message: 'no' });
  });
  test('only in another cell: nowhere here', () => {
    expect(placeIn(error('E: x', '    at cell [1], line 8, column 8'))).toBeUndefined();
  });
});

describe('questions and their standing', () => {
  const listed = [
    { id: '1', asks: 'One', marks: 2, kind: 'number' },
    { id: '2', asks: 'Two', marks: 3, kind: 'sealed' },
    { id: '3', asks: 'Three', marks: 4, kind: 'written', blank: '*Write here.*' },
    { id: '4', asks: 'Four', marks: 1, kind: 'number' },
  ];
  const cells = (written: string) => [
    code('c1', 'answer', '1', [verdict('1', 'agrees', 2, 2)]),
    code('c2', 'answer', '2', [verdict('2', 'recorded', 0, 3)]),
    text('t3', 'written', '3', written),
  ];

  test('are read from the outputs; a written answer counts once it differs from the blank', () => {
    const rows = questionRows(cells('*Write here.*\n'), listed);
    expect(rows.map(({ state }) => state)).toEqual(['agrees', 'recorded', 'to write', 'open']);
    expect(totals(rows)).toEqual({ marks: 2, later: 3, outOf: 10, done: 2, count: 4 });
    expect(questionRows(cells('Because.'), listed)[2].state).toBe('written');
  });
  test('a forged or broken verdict is passed over', () => {
    const broken = verdict('1', 'full marks', 99, 2);
    expect(questionRows([code('c', 'answer', '1', [broken])], listed)[0].state).toBe('open');
  });
  test('a verdict above the marks that there are is not believed, and does not hide an honest one', () => {
    const rows = (...outputs: Output[]) =>
      questionRows([code('c', 'answer', '1', outputs), code('o', 'work', '99', outputs)], listed);
    const honest = verdict('1', 'agrees', 2, 2);
    for (const [marks, outOf] of [
      [99, 99],
      [3, 2],
      [2.5, 2.5],
      [-1, 2],
      [Number.NaN, 2],
      [2, Number.NaN],
    ]) {
      const forged = verdict('1', 'agrees', marks, outOf);
      expect(rows(forged)[0]).toMatchObject({ state: 'open', marks: undefined, outOf: 2 });
      expect(rows(honest, forged)[0]).toMatchObject({ state: 'agrees', marks: 2, outOf: 2 });
    }
    const strange = rows(honest, verdict('99', 'agrees', 50, 50));
    expect(totals(strange)).toMatchObject({ marks: 2, outOf: 10 });
  });
  test('a question that only the notebook names is listed too', () => {
    const rows = questionRows([code('c', 'answer', '9', [verdict('9', 'not yet', 0, 5)])], []);
    expect(rows).toEqual([{ id: '9', asks: 'x', state: 'not yet', marks: 0, outOf: 5 }]);
  });
});

test("cells of one question stand together, and a cell of the student's own with what it follows", () => {
  const cells = [
    text('a', 'text'),
    text('b', 'text', '1'),
    code('w', 'work', '1'),
    code('own'),
    text('d', 'text', '2'),
  ];
  expect(partsOf(cells).map((part) => part.cells.map(({ id }) => id))).toEqual([
    ['a'],
    ['b', 'w', 'own'],
    ['d'],
  ]);
});
