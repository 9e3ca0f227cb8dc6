import { expect, test } from 'vitest';
import { classData } from '../../kernel-lib/marking/class-data';
import { toLookAt } from '../../kernel-lib/marking/record';
import { classPage } from '../../kernel-lib/marking/report/class-page';
import { studentPage } from '../../kernel-lib/marking/report/student-page';
import { returnsTable } from '../../kernel-lib/marking/report/tables';
import { recordOf, title } from './class-of-three';

const note = 'The notebook says 1030, the file’s name was taken.';
const typed = (first: number, second: number) => ({
  number: '1030',
  marks: { '9.1': first, '9.2': second, '9.3': 0 },
});

test('a number of nobody’s: only what it would earn more is told, and what to enter then', () => {
  expect(toLookAt(recordOf('1003', [0, 2], { typed: typed(2, 2) }))).toEqual([
    expect.stringMatching(/judged with 1030, too.*: 9\.1: 2\. .*enter these in changed-marks\.csv/),
  ]);
  for (const marks of [typed(0, 2), typed(0, 0)]) {
    const [said] = toLookAt(recordOf('1003', [0, 2], { typed: marks }));
    expect(said).toMatch(/no question has more marks/);
    expect(said).not.toMatch(/changed-marks/);
  }
});

test('the class’s page, the table of returns and the student’s page tell of the same', () => {
  const record = recordOf('1003', [0, 2], {
    note,
    flags: ['Cells were deleted.'],
    typed: typed(2, 2),
  });
  const data = classData([record], [title], {});
  const report = { data, lockDown: '', zone: 'UTC', spreads: new Map(), alike: [], aside: [] };
  const said = toLookAt(record).join(' ');
  expect(said).toContain(`${note} Cells were deleted. It was judged`);
  expect(classPage(report).split(said)).toHaveLength(2);
  const [, row] = [...returnsTable([record], [], [], new Map(), 'UTC')];
  expect(row.at(-1)).toBe(said);
  const own = studentPage(data.students[0], data, 'UTC');
  expect(own).toMatch(/number 1030 that stands in the notebook, 9\.1 would have more marks/);
  expect(own).not.toMatch(/deleted|changed-marks/);
});

test('a return that did not run keeps what else is to be known of it', () => {
  const record = recordOf('1003', [0, 0], { note, failure: 'It was given up.' });
  const [, row] = [...returnsTable([record], [], [], new Map(), 'UTC')];
  expect(row.slice(1, 2)).toEqual(['did not run']);
  expect(row.at(-1)).toBe(`It was given up. ${note}`);
});

test('one is told as one', () => {
  const data = classData([recordOf('1003', [0, 2])], [title], {});
  const report = { data, lockDown: '', zone: 'UTC', spreads: new Map(), alike: [], aside: [] };
  expect(classPage(report)).toMatch(/<p>1 student, 1 return marked\./);
  expect(classPage(report)).not.toMatch(/\b1 (?:returns|students|marks)\b/);
});
