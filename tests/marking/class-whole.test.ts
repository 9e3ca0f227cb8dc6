import { expect, test } from 'vitest';
import type { ClassGrid, GridCell } from '../../kernel-lib/marking/class-grid';
import { asOfClass, classWhole, spreadOf, toDiscuss } from '../../kernel-lib/marking/class-whole';

const cell = (marks: number | null, more: Partial<GridCell> = {}): GridCell =>
  marks === null
    ? { state: 'to be read', marks: 0, ...more }
    : { state: marks > 0 ? 'agrees' : 'not yet', marks, ...more };

/** Three questions of one sheet, one of another; the last student handed in the first only. */
function grid(marks: readonly (readonly (number | null)[])[]): ClassGrid {
  const question = (sheet: string, id: string, outOf: number) => ({
    ...{ sheet, question: id, asks: `Asks ${id}`, outOf },
  });
  return {
    sheets: [
      { sheet: '09-invented', title: 'Invented', outOf: 7, from: 0, to: 3 },
      { sheet: '10-other', title: 'Other', outOf: 6, from: 3, to: 4 },
    ],
    columns: [
      question('09-invented', '9.1', 2),
      question('09-invented', '9.2', 3),
      question('09-invented', '9.3', 2),
      question('10-other', '10.1', 6),
    ],
    students: marks.map((row, i) => ({
      ...{ student: String(1001 + i), total: 0, waits: 0, returns: [null, null] },
      cells: [0, 1, 2, 3].map((at) => (row[at] === undefined ? null : cell(row[at]))),
    })),
  };
}

const class6 = [
  [2, 3, 0, 5],
  [2, 1, 1, 4],
  [0, 2, 0, 1],
  [1, 0, 0, 2],
  [2, 3, 2, 6],
  [0, 0, 1, 1],
];

test('facility and item–rest correlation are those of NumPy', () => {
  const [sheet, other] = classWhole(grid(class6));
  // numpy 2.4.6: mean of each column; corrcoef of each column with the sum of the others; of the sums with the other sheet.
  const means = [1.1666666666666667, 1.5, 0.6666666666666666];
  const full = [2, 3, 2];
  const withRest = [0.5708263279047433, 0.44357765228112966, 0.27669929526473325];
  for (const [i, question] of sheet.questions.entries()) {
    expect(question.facility).toBeCloseTo(means[i] / full[i], 12);
    expect(question.discrimination).toBeCloseTo(withRest[i], 12);
  }
  expect(sheet.discrimination).toBeCloseTo(0.9531145466754106, 12);
  expect(other.discrimination).toBeCloseTo(0.9531145466754106, 12);
  expect(sheet.facility).toBeCloseTo((7 + 9 + 4) / (6 * 7), 12);
});

test('quartiles and standard deviation are those of NumPy', () => {
  // numpy 2.4.6: percentile(x, [25, 50, 75]) by its default, linear; std(x, ddof=1).
  const { quarter, median, threeQuarters, deviation, lowest, highest } = spreadOf([
    ...[3, 18, 7, 7, 12.5, 20, 16, 9, 14],
  ])!;
  expect([lowest, quarter, median, threeQuarters, highest]).toEqual([3, 7, 12.5, 16, 20]);
  expect(deviation).toBeCloseTo(5.70087712549569, 12);
  expect(spreadOf([2, 5, 11, 4])).toMatchObject({ quarter: 3.5, median: 4.5, threeQuarters: 6.5 });
  expect(spreadOf([])).toBeNull();
});

test('what waits for a reader is neither right nor wrong, and who handed nothing in is not counted', () => {
  const waiting = [...class6.map(([a, b, c]) => [a, b, c > 0 ? c : null]), []];
  const [sheet] = classWhole(grid(waiting));
  const [first, , third] = sheet.questions;
  expect(sheet.marks.map(({ student }) => student)).not.toContain('1007');
  expect([sheet.waits, third.by.waits]).toEqual([3, ['1001', '1003', '1004']]);
  expect(third.facility).toBeCloseTo((1 + 2 + 1) / 3 / 2, 12);
  expect(first.by).toMatchObject({ all: ['1001', '1002', '1005'], some: ['1004'] });
  // 9.3 is not judged for everybody: 9.1 is compared with 9.2 alone.
  const plain = classWhole(grid(class6.map(([a, b]) => [a, b, 0])));
  expect(first.discrimination).toBeCloseTo(plain[0].questions[0].discrimination!, 12);
});

test('too few answers, or answers that do not differ, have no correlation', () => {
  const two = classWhole(grid(class6.slice(0, 2)));
  expect(two[0].questions[0].discrimination).toBeNull();
  const flat = classWhole(grid(class6.map(() => [2, 3, 1, 4])));
  expect(flat[0].questions.map(({ discrimination }) => discrimination)).toEqual([null, null, null]);
  expect(flat[0].discrimination).toBeNull();
});

test('slips are listed with who made them, and the commonest is worth a word', () => {
  const all = grid(class6);
  const slipped = all.students.map((one, i) =>
    i < 4 ? { ...one, cells: [cell(0, { slip: 'one side' }), ...one.cells.slice(1)] } : one,
  );
  const [sheet] = classWhole({ ...all, students: slipped });
  expect(sheet.questions[0].slips).toEqual([
    { slip: 'one side', students: ['1001', '1002', '1003', '1004'] },
  ]);
  const found = toDiscuss([asOfClass(sheet, (question, slip) => `${question} ${slip}`)]);
  expect(found.find(({ question }) => question === '9.1')?.why).toContain('4 fell into “one side”');
});
