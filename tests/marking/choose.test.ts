import { describe, expect, test } from 'vitest';
import {
  chooseBest,
  chooseReturns,
  earlierToCompare,
  type Lateness,
  returnsToCompare,
  withWorseFlags,
} from '../../kernel-lib/marking/choose';
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
  extraDays: () => 0,
};
const noDeadline: Lateness = { late: undefined, extraDays: () => 0 };

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

describe('the latest return', () => {
  test('counts, whatever the order they are found in', () => {
    const all = [found('a', 1), found('b', 3), found('c', 2)];
    for (const list of [all, [...all].reverse()]) {
      const { counted, passedOver } = chooseReturns(list);
      expect(counted.map(({ path }) => path)).toEqual(['b']);
      expect(passedOver.map(({ path, reason }) => [path, reason]).sort()).toEqual([
        ['a', 'earlier return'],
        ['c', 'earlier return'],
      ]);
      expect(passedOver[0].why).toBe('b counts: it came later.');
    }
  });

  test('the same again is told as such; students and sheets do not mix', () => {
    const { counted, passedOver } = chooseReturns([
      found('a', 0, { digest: 'd' }),
      found('b', 0, { digest: 'd' }),
      found('c', 0, { student: '1002' }),
      found('e', 0, { sheet: '03-two-slits' }),
    ]);
    expect(counted.map(({ path }) => path).sort()).toEqual(['b', 'c', 'e']);
    expect(passedOver).toMatchObject([{ path: 'a', reason: 'same again' }]);
  });

  test('where times do not decide, it is said what does', () => {
    const whyOf = (more: Partial<FoundReturn>) =>
      chooseReturns([found('a', 0, more), found('b', 0)]).passedOver[0].why;
    expect(whyOf({ time: undefined })).toMatch(/^b counts: nothing tells when this one came/);
    expect(whyOf({})).toMatch(/^b counts: both came at one time/);
  });

  test('a file named after someone else never takes the place of one’s own', () => {
    const { counted } = chooseReturns([
      found('1002 mine.ipynb', 9e5, { namesAnother: true }),
      found('1001.ipynb', 1),
    ]);
    expect(counted.map(({ path }) => path)).toEqual(['1001.ipynb']);
  });
});

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
    const granted = { ...quarter, extraDays: (student: string) => (student === '1001' ? 2 : 0) };
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

const outcome = (path: string, marks: number, outOf = 20) =>
  ({ path, student: '1001', sheet: 's', questions: [{ marks, outOf }] }) as unknown as MarkRecord;
const flagsOf = (now: MarkRecord, before: MarkRecord) =>
  withWorseFlags([now], [before])[0].flags ?? [];

describe('a later return beside the earlier one', () => {
  test('is flagged when it is much worse', () => {
    expect(flagsOf(outcome('b', 4), outcome('a', 10))).toEqual([
      expect.stringMatching(/^An earlier return, a, has 10 marks; this one, which counts, has 4\./),
    ]);
    expect(flagsOf(outcome('b', 0), outcome('a', 2))).toHaveLength(1);
    expect(flagsOf(outcome('b', 9), outcome('a', 12))).toEqual([]);
    expect(flagsOf(outcome('b', 12), outcome('a', 4))).toEqual([]);
  });

  test('is flagged when it came from another place', () => {
    expect(flagsOf(outcome('x/b', 9), outcome('a', 9))[0]).toMatch(/from another place: a\./);
    expect(flagsOf(outcome('x/b', 9), outcome('x/a', 9))).toEqual([]);
  });

  test('is compared with the one before that says something else', () => {
    const [last, same] = [found('d', 4, { digest: 'y' }), found('c', 3, { digest: 'y' })];
    const all = [found('a', 1), found('b', 2), same, last];
    expect(earlierToCompare(all, [last]).map(({ path }) => path)).toEqual(['b']);
    expect(earlierToCompare([same, last], [last])).toEqual([]);
  });
});
