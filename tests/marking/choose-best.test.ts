import { describe, expect, test } from 'vitest';
import { chooseBest, type Lateness, returnsToCompare } from '../../kernel-lib/marking/choose';
import { classData } from '../../kernel-lib/marking/class-data';
import type { FoundReturn } from '../../kernel-lib/marking/found-return';
import type { LateRule } from '../../kernel-lib/marking/late';
import type { MarkRecord } from '../../kernel-lib/marking/record';
import { studentPage } from '../../kernel-lib/marking/report/student-page';
import { recordOf, title } from './class-of-three';

const hour = 3_600_000;
const due = Date.parse('2026-11-20T12:00:00Z');
/** A quarter of the marks for each started day. */
const quarter: Lateness = {
  late: { deadline: due, perDay: 0.25 },
  extraDays: new Map<string, number>(),
};
const noDeadline: Lateness = { late: undefined, extraDays: new Map<string, number>() };

const found = (path: string, hours: number, more: Partial<FoundReturn> = {}): FoundReturn => ({
  path,
  time: due + hours * hour,
  student: '1001',
  sheet: title.sheet,
  digest: path,
  text: '[]',
  ...more,
});
const recorded = (one: FoundReturn, marks: readonly [number, number]): MarkRecord =>
  recordOf(one.student, marks, {
    path: one.path,
    time: one.time === undefined ? null : new Date(one.time).toISOString(),
  });
const paths = (list: readonly { path: string }[]) => list.map(({ path }) => path);

describe('the returns to compare', () => {
  test('are all of different text; of equal ones the least late, of these the latest', () => {
    const list = [
      found('a', -9, { digest: 'd' }),
      found('b', -5, { digest: 'd' }),
      found('c', 5, { digest: 'd' }),
      found('e', 7),
    ];
    for (const all of [list, [...list].reverse()]) {
      const { counted, passedOver } = returnsToCompare(all, quarter);
      expect(paths(counted).sort()).toEqual(['b', 'e']);
      expect(passedOver.map(({ path, reason, why }) => [path, reason, why]).sort()).toEqual([
        ['a', 'same again', 'It says the same as b.'],
        ['c', 'same again', 'It says the same as b.'],
      ]);
    }
    expect(paths(returnsToCompare(list, noDeadline).counted).sort()).toEqual(['c', 'e']);
  });

  test('a file named after someone else is none of them beside one’s own', () => {
    const other = found('1002 of a friend', 3, { namesAnother: true });
    const { counted, passedOver } = returnsToCompare([other, found('1001', 1)], quarter);
    expect(paths(counted)).toEqual(['1001']);
    expect(passedOver).toMatchObject([{ path: other.path, reason: 'another counts' }]);
    expect(paths(returnsToCompare([other], quarter).counted)).toEqual([other.path]);
  });
});

describe('the best return', () => {
  const choose = (
    list: readonly (readonly [FoundReturn, readonly [number, number]])[],
    lateness = quarter,
  ) =>
    chooseBest(
      list.map(([one]) => one),
      list.map(([one, marks]) => recorded(one, marks)),
      lateness,
    );

  test('is the one with most marks, whenever it came', () => {
    const { counted, records, passedOver } = choose([
      [found('first', -9), [2, 2]],
      [found('second', -8), [2, 0]],
    ]);
    expect([paths(counted), paths(records)]).toEqual([['first'], ['first']]);
    expect(passedOver).toEqual([
      {
        path: 'second',
        student: '1001',
        sheet: title.sheet,
        reason: 'another counts',
        why: 'first counts with 4 marks; this one has 2 marks.',
        marks: 2,
        counted: 2,
      },
    ]);
  });

  // By hand: 4 × (1 − 2 × 0.25) = 2 < 3, and 4 × (1 − 1 × 0.25) = 3.
  test.each([
    ['two days late: less than 3 in time', 30, 'in time'],
    ['one day late: as many as 3 in time, and later', 2, 'late'],
  ])('is found after the deduction; %s', (_, hours, best) => {
    const list = [
      [found('in time', -1), [1, 2]],
      [found('late', hours), [2, 2]],
    ] as const;
    expect(paths(choose(list).counted)).toEqual([best]);
    expect(paths(choose([...list].reverse()).counted)).toEqual([best]);
    expect(paths(choose(list, noDeadline).counted)).toEqual(['late']);
    const granted = { ...quarter, extraDays: new Map([['1001', 2]]) };
    expect(paths(choose(list, granted).counted)).toEqual(['late']);
  });

  test('students and sheets do not mix; what could not be run is not compared', () => {
    const [one, other] = [found('a', 0), found('b', 0, { student: '1002' })];
    const broken = found('c', 1);
    const list = [recorded(one, [0, 0]), recorded(other, [2, 2])];
    const { counted, passedOver } = chooseBest([one, other, broken], list, quarter);
    expect(paths(counted)).toEqual(['a', 'b']);
    expect(passedOver).toEqual([]);
  });

  test('the student sees what else was handed in, with its marks', () => {
    const { records, passedOver } = choose([
      [found('first', -9), [2, 2]],
      [found('second', 8), [2, 0]],
    ]);
    const data = classData(records, [title], {
      late: quarter.late as LateRule,
      others: passedOver,
    });
    expect(studentPage(data.students[0], data, 'UTC')).toMatch(
      /Also handed in: second\. first counts with 4 marks; this one has 2 marks \(1\.5 after 1 day late\)\./,
    );
  });
});
