import { describe, expect, test } from 'vitest';
import type { Cell, CodeCell, Notebook, Role } from '../../kernel-lib/notebook/notebook';
import {
  failedCells,
  hasRunFromTop,
  lostMarks,
  stillOpen,
} from '../../kernel-lib/page/sheet/hand-in';
import { questionRows } from '../../kernel-lib/page/sheet/standing';
import {
  digestOfWork,
  isChangedSince,
  isFailing,
  withWorking,
} from '../../kernel-lib/page/sheet/working';
import { verdictMimeType } from '../../kernel-lib/questions/verdict';
import { handInOf } from '../../kernel-lib/travels/handed-in';

const code = (id: string, source: string, role?: Role, question?: string): CodeCell => ({
  cell_type: 'code',
  id,
  source,
  metadata: role ? { multislit: { sheet: '02-one-slit', role, question } } : {},
  execution_count: null,
  outputs: [],
});
const notebook = (cells: Cell[]): Notebook => ({
  nbformat: 4,
  nbformat_minor: 5,
  metadata: {},
  cells,
});
const number = (text: string) => code('student-number', `const studentNumber = '${text}';`, 'work');

/** A check whose verdict is about the working as it stands in `cells`. */
function checked(cells: Cell[], question: string, state: string): Cell[] {
  const data = { question, asks: 'x', state, marks: 0, outOf: 2, message: 'm' };
  const output = { output_type: 'display_data' as const, data: { [verdictMimeType]: data } };
  const outputs = withWorking([{ ...output, metadata: {} }], digestOfWork(cells, question));
  return cells.map((cell) => (cell.id === `c${question}` ? { ...cell, outputs } : cell)) as Cell[];
}
const edited = (cells: Cell[], id: string, source: string) =>
  cells.map((cell) => (cell.id === id ? { ...cell, source } : cell));

const sheet = [
  number('204117'),
  code('w1', 'const x = 1;', 'work', '1'),
  code('helper', 'const y = 2;'),
  code('c1', "check('1', x)", 'answer', '1'),
  code('scratch', 'x + 1'),
  code('w2', 'const z = blank;', 'work', '2'),
  code('c2', "check('2', z)", 'answer', '2'),
];

describe('what is handed in', () => {
  test('is named after the student and the sheet, leading zeros and all', () => {
    expect(handInOf(notebook([number('0042')]))).toEqual({
      student: '0042',
      sheet: '02-one-slit',
      name: '0042-02-one-slit.ipynb',
    });
  });
  test.each([
    ['the sample number', [number('000000')], /sample student's number, 000000.*your own number/],
    ['an empty number', [number('')], /no student number/],
    ['a number that is none', [number('12 ab')], /4 to 10 digits.*“12 ab”/],
    ['no line for it', [code('w1', 'x', 'work', '1')], /no student number/],
    ['no worksheet', [code('a', 'x')], /no worksheet/],
  ])('is refused with %s, and the sentence says how to mend it', (_, cells, sentence) => {
    const found = handInOf(notebook(cells));
    expect('refusal' in found && found.refusal).toMatch(sentence);
  });
});

describe('what is still open', () => {
  const listed = [
    { id: '1', asks: 'One', marks: 2, kind: 'number' },
    { id: '2', asks: 'Two', marks: 2, kind: 'number' },
    { id: '3', asks: 'Three', marks: 4, kind: 'written', blank: '*Write here.*' },
  ];
  const open = (cells: Cell[]) =>
    stillOpen(cells, questionRows(cells, listed)).map(({ question, says }) => [question, says]);

  test('says of each question what is missing', () => {
    expect(open(checked(sheet, '1', 'not yet'))).toEqual([
      ['1', 'not yet'],
      ['2', 'no answer yet'],
      ['3', 'nothing written yet'],
    ]);
    expect(open(checked(sheet, '1', 'agrees'))[0]).toEqual(['2', 'no answer yet']);
  });
  test.each([
    ['the work cell', 'w1', true],
    ['a cell added above the answer', 'helper', true],
    ['the student number', 'student-number', true],
    ['a cell added below the answer', 'scratch', false],
    ["another question's working", 'w2', false],
  ])('a change of %s after the verdict counts or not', (_, id, counts) => {
    const cells = edited(checked(sheet, '1', 'agrees'), id, 'changed');
    expect(isChangedSince(cells, '1')).toBe(counts);
    expect(open(cells).some(([question]) => question === '1')).toBe(counts);
  });
  test('the digest travels through a saved file, and a verdict without one is taken as it is', () => {
    const saved = JSON.parse(JSON.stringify(checked(sheet, '1', 'agrees'))) as Cell[];
    expect(isChangedSince(saved, '1')).toBe(false);
    expect(isChangedSince(edited(saved, 'w1', 'const x = 9;'), '1')).toBe(true);
    for (const cell of saved)
      if (cell.cell_type === 'code')
        for (const output of cell.outputs) if ('metadata' in output) output.metadata = {};
    expect(isChangedSince(edited(saved, 'w1', 'const x = 9;'), '1')).toBe(false);
  });
});

describe('what a run from the top has found', () => {
  const failing = (cells: Cell[], id: string, evalue: string) =>
    cells.map((cell) =>
      cell.id === id && cell.cell_type === 'code'
        ? {
            ...cell,
            outputs: [{ output_type: 'error' as const, ename: 'E', evalue, traceback: [] }],
          }
        : cell,
    );
  test('cells that ended with an error, one a question, and of whom the working is', () => {
    const one = failing(sheet, 'helper', 'first');
    const cells = failing(failing(one, 'c1', 'follows'), 'w2', 'second');
    expect(failedCells(cells)).toEqual([
      { id: 'helper', question: '1', says: 'first' },
      { id: 'w2', question: '2', says: 'second' },
    ]);
    expect(failedCells(sheet)).toEqual([]);
    expect(failedCells(failing(sheet, 'student-number', 'x'))).toMatchObject([{ says: 'x' }]);
    expect([isFailing(one, '1'), isFailing(one, '2')]).toEqual([true, false]);
    const stopped = one.map((cell) =>
      cell.id === 'helper' && cell.cell_type === 'code'
        ? { ...cell, outputs: cell.outputs.map((each) => ({ ...each, ename: 'Interrupted' })) }
        : cell,
    ) as Cell[];
    expect(isFailing(stopped, '1')).toBe(false);
    // The check itself is no working.
    expect(isFailing(failing(sheet, 'c2', 'x'), '2')).toBe(false);
  });
  test('marks that were there before and are not any more', () => {
    const row = (id: string, state: string, marks?: number) =>
      ({ id, asks: id, state, marks, outOf: 2 }) as const;
    const before = [row('1', 'agrees', 2), row('2', 'agrees', 2), row('3', 'open')];
    const now = [row('1', 'open'), row('2', 'agrees', 2), row('3', 'not yet', 0)];
    expect(lostMarks(before, now)).toEqual([{ question: '1', asks: '1', before: 2, now: 0 }]);
    expect(lostMarks(now, before)).toEqual([]);
  });
});

test('run from the top means: every code cell, as it stands, in its order', () => {
  const ids = ['student-number', 'w1', 'helper', 'c1', 'scratch', 'w2', 'c2'];
  const ran = (order: string[]) =>
    new Map(order.map((id) => [id, String(sheet.find((cell) => cell.id === id)?.source)]));
  expect(hasRunFromTop(sheet, ran(ids))).toBe(true);
  expect(hasRunFromTop(sheet, ran([...ids].reverse()))).toBe(false);
  expect(hasRunFromTop(sheet, ran(ids.slice(1)))).toBe(false);
  expect(hasRunFromTop(edited(sheet, 'w2', 'new'), ran(ids))).toBe(false);
});
