import { expect, test } from 'vitest';
import { type ClassGrid, classGrid, type MarkedClass } from '../../kernel-lib/marking/class-grid';
import { exportColumns, exportTable, usualProfile } from '../../kernel-lib/marking/export-table';
import { readPeople } from '../../kernel-lib/marking/roster';

const question = (id: string, outOf: number, marks: number, more: object = {}) => ({
  ...{ question: id, asks: `Asks ${id}`, outOf, marks, message: '' },
  ...{ state: marks === outOf ? 'agrees' : 'not yet', ...more },
});
const back = (questions: readonly object[], more: object = {}) => ({
  ...{ sheet: '09-invented', path: 'a.ipynb', time: null, daysLate: 0, failures: [] },
  ...{ questions, ...more },
});
const asked = [question('9.1', 2, 2), question('9.2', 4, 4), question('9.3', 4, 0)];
const marked = {
  ...{ lockDown: '', deadline: '2026-11-20T12:00:00Z', latePercent: 20, counts: 'latest' },
  sheets: [{ sheet: '09-invented', title: 'Invented', outOf: 10, returns: 2, questions: asked }],
  students: [
    {
      student: '1001',
      sheets: [
        back(
          [
            question('9.1', 2, 2),
            question('9.2', 4, 0),
            question('9.3', 4, 0, { state: 'to be read' }),
          ],
          {
            daysLate: 1,
          },
        ),
      ],
    },
    {
      student: '1002',
      sheets: [
        back([
          question('9.1', 2, 0, { slip: 'one side' }),
          question('9.2', 4, 4),
          question('9.3', 4, 4),
        ]),
      ],
    },
    { student: '1003', sheets: [] },
  ],
} as unknown as MarkedClass;
const change = { sheet: '09-invented', reason: 'A sound way.' };
const grid: ClassGrid = classGrid(marked, [
  { ...change, student: '1001', question: '9.2', marks: 3 },
  { ...change, student: '1002', question: '9.1', marks: 1 },
]);

test('marks that people changed count, after the deduction for days late; the rest is as it was', () => {
  // (2 + 3) marks, of which one started day costs 20 %.
  expect(grid.students.map(({ total, waits }) => [total, waits])).toEqual([
    [4, 4],
    [9, 0],
    [0, 0],
  ]);
  expect(grid.students[1].cells[0]).toEqual({
    ...{ state: 'not yet', marks: 1, slip: 'one side', from: 0, isNew: true },
  });
  expect(grid.students[2].cells).toEqual([null, null, null]);
});

test('a change that was taken out again leaves the marker’s mark', () => {
  const before = structuredClone(marked);
  Object.assign(before.students[1].sheets[0].questions[0], {
    ...{ marks: 1, changed: { from: 0, reason: 'A sound way.' } },
  });
  const [, second] = classGrid(before, []).students;
  expect(second.cells[0]).toMatchObject({ marks: 0, state: 'not yet', isNew: true });
  expect(second.total).toBe(8);
});

test('an export has the chosen columns under the chosen words; what waits or is missing is empty, not 0', () => {
  const people = readPeople(
    'Surname;First name;student;E-mail;Bench\nTarrow;Mira;1001;m@x.invalid;North\n',
  );
  const columns = [
    { id: 'student', head: 'ID' },
    { id: 'name', head: 'Who' },
    { id: 'group', head: 'Bench' },
    { id: 'sheet 09-invented', head: 'Sheet' },
    { id: 'question 09-invented 9.3', head: 'Text' },
    { id: 'missing', head: 'missing' },
  ];
  expect(exportTable(grid, people, { columns, as: 'marks' })).toEqual([
    ['ID', 'Who', 'Bench', 'Sheet', 'Text', 'missing'],
    ['1001', 'Mira Tarrow', 'North', 4, '', ''],
    ['1002', '', '', 9, 4, ''],
    ['1003', '', '', '', '', '09-invented'],
  ]);
  const percent = exportTable(grid, people, { columns: columns.slice(3, 5), as: 'percent' });
  expect(percent.slice(1, 3)).toEqual([
    [40, ''],
    [90, 100],
  ]);
});

test('the usual columns are some of those that there are', () => {
  const all = exportColumns(grid).map(({ id }) => id);
  const usual = usualProfile(grid).columns.map(({ id }) => id);
  expect(usual).toEqual(['student', 'name', 'sheet 09-invented', 'total']);
  expect(usual.every((id) => all.includes(id))).toBe(true);
});
