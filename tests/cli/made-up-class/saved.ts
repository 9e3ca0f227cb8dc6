import {
  type Cell,
  type Notebook,
  sourceOf,
  withStudentNumber,
} from '../../../kernel-lib/notebook/notebook';
import { writeNotebook } from '../../../kernel-lib/notebook/write-notebook';
import type { Random } from '../../../kernel-lib/numerics/random';

type Change = (notebook: Notebook) => Notebook;

const code = (id: string, source: string): Cell => ({
  id,
  cell_type: 'code',
  source,
  metadata: {},
  outputs: [],
  execution_count: null,
});

const withCells = (notebook: Notebook, change: (cell: Cell) => readonly Cell[]): Notebook => ({
  ...notebook,
  cells: notebook.cells.flatMap(change),
});

const isAnswer = (cell: Cell) => cell.id.endsWith('-answer');

/** What students do to a notebook besides answering; none of it may change a mark. */
const harmless: readonly Change[] = [
  (notebook) => notebook,
  (notebook) => notebook,
  (notebook) =>
    withCells(notebook, (cell) =>
      cell.cell_type === 'code'
        ? [{ ...cell, outputs: [{ output_type: 'stream', name: 'stdout', text: 'Agrees.\n' }] }]
        : [cell],
    ),
  (notebook) =>
    withCells(notebook, (cell) =>
      isAnswer(cell) ? [{ ...cell, source: sourceOf(cell).replace(/, .*\)/, ', 3)') }] : [cell],
    ),
  (notebook) => withCells(notebook, (cell) => (isAnswer(cell) ? [] : [cell])),
  (notebook) => {
    let n = 0;
    return withCells(notebook, (cell) =>
      isAnswer(cell)
        ? [
            cell,
            code(`scratch-${n}`, `const scratch${n++} = given;\nconsole.log(scratch${n - 1});`),
          ]
        : [cell],
    );
  },
  (notebook) =>
    withCells(notebook, (cell) =>
      cell.id === 'title' ? [code('mine', "throw new Error('a cell of mine');"), cell] : [cell],
    ),
];

/** The notebook's text as some editor saved it. */
export function savedText(notebook: Notebook, random: Random): string {
  const text = writeNotebook(harmless[random.whole(harmless.length)](notebook));
  const luck = random.uniform();
  if (luck < 0.1) return `\ufeff${text}`;
  if (luck < 0.2) return text.replaceAll('\n', '\r\n');
  if (luck < 0.3) return JSON.stringify(JSON.parse(text));
  return text;
}

/** With a cell of the student's own at its end, so that it says something else. */
export const withRemark = (notebook: Notebook, remark: string): Notebook => ({
  ...notebook,
  cells: [...notebook.cells, code('remark', `// ${remark}`)],
});

const instead = ['000000', '', 'my number', '3000'];

/** Without the student's number, as when the first cell was never filled in. */
export const withoutNumber = (notebook: Notebook, random: Random): Notebook =>
  withStudentNumber(notebook, instead[random.whole(instead.length)]);
