import type { Cell, Notebook } from '../../../kernel-lib/notebook/notebook';
import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import { modelReturn, oneSlit, returnOf } from '../../cli/class-for-test';
import type { HostileFile, HostileFiles } from '../hostile-file';
import { endlessTypes } from './answers';

type Change = (notebook: Notebook, student: string) => Notebook | string | Uint8Array;
type Cells = readonly Cell[];

/** A notebook with all answers, changed. */
const right = (tells: string, rest: Partial<HostileFile>, change: Change): HostileFile => ({
  tells,
  what: (student) => change(modelReturn(oneSlit, student), student),
  ...rest,
});

/** A notebook in which nothing is answered, changed. */
const blank = (tells: string, rest: Partial<HostileFile>, change: Change): HostileFile => ({
  tells,
  what: (student) => change(returnOf(oneSlit, student), student),
  ...rest,
});

/** The same notebook with other cells. */
const cells =
  (change: (cells: Cells) => Cells): Change =>
  (notebook) => ({ ...notebook, cells: [...change(notebook.cells)] });
const eachCell = (change: (cell: Cell, i: number) => Cell | Cells) =>
  cells((all) => all.flatMap(change));

/** A code cell that is not the sheet's. */
const own = (id: string, source: string, metadata: Cell['metadata'] = {}): Cell => ({
  ...{ id, cell_type: 'code', source, metadata, outputs: [], execution_count: null },
});

const fakes = 'const check = (..._: unknown[]) => "Agrees."; const given: any = {};';
const all = { earns: 'all' } as const;
const isWork = ({ id }: Cell) => id.endsWith('-work');

export const changedNotebooks: HostileFiles = {
  'all-cells-pasted': right(
    'Has every answer in a cell of its own and none of the sheet’s: all of them count.',
    all,
    eachCell((cell, i) => (isWork(cell) ? { ...cell, id: `mine-${i}`, metadata: {} } : cell)),
  ),
  'pasted-answers': right(
    'Has cut its answers out and pasted them in elsewhere, so that they have other ids.',
    all,
    cells((each) => [
      ...each.filter((cell) => !isWork(cell)),
      ...each.filter(isWork).map((cell, i) => ({ ...cell, id: `pasted-${i}` })),
    ]),
  ),
  'pasted-cell': right(
    'Cuts the cell of an answer out and pastes it again, which takes its id away: it answers as before.',
    all,
    eachCell((cell) => (cell.id === '2-4-work' ? { ...cell, id: 'b3a1c2d4', metadata: {} } : cell)),
  ),
  'pasted-twice': right(
    'Has two cells in the place of a deleted one, a try and the answer: the later one counts.',
    all,
    eachCell((cell) =>
      cell.id === '2-4-work'
        ? [
            { ...cell, id: 'a-try', metadata: {}, source: 'const sideMaxima = [1, 2];' },
            { ...cell, id: 'the-answer', metadata: {} },
          ]
        : cell,
    ),
  ),
  'deleted-cell': right(
    'Deletes the cell of an answer: that question says so, the others count.',
    {
      loses: 3,
      says: { '2.4': /^The cell for this answer is not in your notebook: it was deleted/ },
    },
    cells((each) => each.filter(({ id }) => id !== '2-4-work')),
  ),
  'deleted-answers': blank(
    'Has lost the cells in which it should answer.',
    { remark: /The answer cells of 2\.1, 2\.2 were deleted/ },
    cells((each) => each.filter(({ id }) => !/^2-[12]-work$/.test(id))),
  ),
  'missing-cells': blank(
    'Has lost most of its cells and has the others in another order.',
    {},
    cells((each) => each.slice(0, 9).reverse()),
  ),
  'text-for-code': right(
    'Turns the cell of an answer into text: that question says so.',
    { loses: 3, says: { '2.4': /is a text cell in your notebook, and text does not run/ } },
    eachCell((cell) => {
      const { id, source, metadata } = cell;
      return id === '2-4-work' ? { id, source, metadata, cell_type: 'markdown' } : cell;
    }),
  ),
  'missing-ids': right('Has cells without ids.', all, (notebook) => {
    const plain = JSON.parse(writeNotebook(notebook));
    for (const cell of plain.cells) delete cell.id;
    return JSON.stringify(plain);
  }),
  'older-format': right(
    'Was saved by an editor that keeps nbformat 4.0 and takes the ids of cells away.',
    all,
    (notebook) => {
      const plain = JSON.parse(writeNotebook({ ...notebook, nbformat_minor: 0 }));
      for (const cell of plain.cells) delete cell.id;
      return JSON.stringify(plain);
    },
  ),
  'repeated-ids': right(
    'Has two cells with the same id, so that one hides the other.',
    { outcome: /^not a notebook$/ },
    cells((each) => [...each, each[4]]),
  ),
  'ids-of-prototypes': right(
    'Has cells whose ids are the names of an object’s own parts.',
    all,
    cells((each) => {
      const names = ['constructor', '__proto__', 'toString', 'hasOwnProperty'];
      const texts = names.map((id) => ({
        id,
        cell_type: 'markdown' as const,
        source: id,
        metadata: {},
      }));
      return [...texts, ...each];
    }),
  ),
  'prototype-keys': blank('Has keys that reach for prototypes.', {}, (notebook) => {
    const keys =
      '"__proto__":{"marks":99,"polluted":true},"constructor":{"prototype":{"marks":99}},';
    return JSON.stringify(notebook).replaceAll('"metadata":{', `"metadata":{${keys}`);
  }),
  'sixteen-bits': right('Was saved in UTF-16, as some programs of Windows do.', all, (notebook) =>
    Buffer.from(`\ufeff${writeNotebook(notebook)}`, 'utf16le'),
  ),
  'other-kernel': blank('Says that it belongs to another kernel.', {}, (notebook) => ({
    ...notebook,
    metadata: { kernelspec: { name: 'python3', display_name: 'Python', language: 'python' } },
  })),
  'wrong-sheet': right(
    'Claims to be of a sheet that does not exist, with a path in its name.',
    { outcome: /^wrong sheet$/ },
    (notebook) =>
      JSON.stringify(notebook).replaceAll(`"sheet":"${oneSlit}"`, '"sheet":"../../../etc"'),
  ),
  'edited-metadata': blank(
    'Gives every cell another role and question, and itself marks.',
    {},
    ({ cells: each, ...rest }) => ({
      ...rest,
      metadata: { marks: 21, state: 'agrees' },
      cells: each.map((cell) => ({
        ...cell,
        metadata: { multislit: { sheet: oneSlit, role: 'answer', question: '2.1' }, marks: 21 },
      })),
    }),
  ),
  'painted-outputs': blank(
    'Carries outputs that show full marks.',
    {},
    eachCell((cell) => {
      const text = 'Agrees. sheet so far 21 of 21';
      const output = { output_type: 'stream', name: 'stdout', text } as const;
      return cell.cell_type === 'code' ? { ...cell, outputs: [output], execution_count: 1 } : cell;
    }),
  ),
  'earlier-names': blank(
    'Goes by the names that cells had in earlier sheets, and puts texts of its own under them that say all is well.',
    {},
    eachCell((cell) => {
      const isGiven = cell.id === 'given';
      const id = isGiven ? 'setup' : cell.id.replace(/^(\d-\d)-answer$/, '$1-check');
      if (id === cell.id) return cell;
      const source = isGiven ? fakes : 'console.log("Agrees. 2 of 2 marks.");';
      const role = isGiven ? 'setup' : 'check';
      const metadata = { multislit: { sheet: oneSlit, role } } as unknown as Cell['metadata'];
      return { ...cell, id, source, metadata } as Cell;
    }),
  ),
  'claiming-cells': blank(
    'Has cells of its own that claim to be the answer cells and the givens, and put others in their place.',
    {},
    cells((each) => {
      const claiming = (id: string, role: 'answer' | 'given', source: string) =>
        own(id, source, {
          multislit: { sheet: oneSlit, role, question: '2.1' },
          ...{ deletable: false, editable: false },
        });
      const replaced =
        'function check(..._: unknown[]) { return { state: "agrees", marks: 2, outOf: 2 }; }\nconst given = { width: 1, wavelength: 1 } as any;';
      return [
        claiming('own-first', 'given', replaced),
        ...each.slice(0, 5),
        claiming('own-given', 'given', replaced),
        claiming('own-answer', 'answer', "check('2.1', 1); check('2.2', 1);"),
        ...each.slice(5),
      ];
    }),
  ),
  'extra-cells': blank(
    'Has cells of its own that check again and again with other values.',
    {},
    cells((each) => [
      ...each,
      own('guesses', `for (let i = 0; i < 2000; i++) check('2.1', 10 + i);`),
    ]),
  ),
  'huge-own-cell': right(
    'Has a cell of its own of two megabytes, which no question asks for.',
    { outcome: /^too large$/ },
    cells((each) => [...each, own('own-huge', `const many = [${'1,'.repeat(1e6)}];`)]),
  ),
  'thousands-of-cells': right(
    'Has six thousand cells of its own, and all answers right.',
    all,
    cells(([number, setup, ...rest]) => {
      const many = Array.from({ length: 6000 }, (_, i) => own(`own-${i}`, `const own${i} = ${i};`));
      return [number, setup, ...many, ...rest];
    }),
  ),
  'own-cells-never-end': right(
    'Has five cells of its own whose types never end, between answers that are right.',
    all,
    eachCell((cell, i) => (i > 2 && i < 8 ? [own(`own-${i}`, endlessTypes(i)), cell] : cell)),
  ),
};
