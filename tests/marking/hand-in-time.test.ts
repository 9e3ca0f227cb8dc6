import { describe, expect, test } from 'vitest';
import {
  type Arrived,
  handInTimes,
  type TimeRules,
  timeInName,
} from '../../kernel-lib/marking/hand-in-time';

const hour = 3_600_000;
const due = Date.UTC(2026, 11, 4);
const rules: TimeRules = { table: [], zone: 'UTC', now: due + 1000 * hour };
const sheet = '02-one-slit';

const loose = (student: string, hours: number, path = `${student}.ipynb`): Arrived => ({
  ...{ path, student, sheet, time: due + hours * hour },
});
/** Out of an archive that was itself saved at `saved`. */
const packed = (archive: string, student: string, hours: number, saved = 500): Arrived => ({
  ...{ path: `${archive}/${student}.ipynb`, student, sheet, time: due + saved * hour },
  archive: { path: archive, entry: `${student}.ipynb`, time: due + hours * hour },
});
const told = (all: readonly Arrived[], more: Partial<TimeRules> = {}) =>
  handInTimes(all, { ...rules, ...more }).map(({ time, from, doubt }) => [
    ...[from, time === undefined ? undefined : (time - due) / hour],
    ...(doubt === undefined ? [] : [doubt]),
  ]);

describe('when a return came', () => {
  test('the table, the name, the class’s archive, the file: in this order', () => {
    const table = [{ student: '1001', sheet, time: due + 1 * hour }];
    const inName = timeInName('YYYY-MM-DD_hh-mm');
    const all = [
      loose('1001', 90, '1001 2026-12-04_02-00.ipynb'),
      loose('1002', 90, '1002 2026-12-04_02-00.ipynb'),
      packed('class.zip', '1003', 3),
      packed('class.zip', '1004', 3),
      packed('class.zip', '1005', 3),
      loose('1006', 4),
    ];
    expect(told(all, { table, inName }).map((one) => one.slice(0, 2))).toEqual([
      ['table', 1],
      ['name', 2],
      ...['1003', '1004', '1005'].map(() => ['archive', 3]),
      ['file', 4],
    ]);
  });

  test('a stamp inside a student’s own zip never counts, nor one deeper inside', () => {
    expect(told([packed('1001.zip', '1001', -100, 5)])).toEqual([['file', 5]]);
    // Two students’ zip, too: one may have packed both.
    const both = [packed('we.zip', '1001', -100, 5), packed('we.zip', '1002', -100, 5)];
    expect(told(both)).toEqual([
      ['file', 5],
      ['file', 5],
    ]);
    // Where that zip is all there is, it is the class.
    expect(told(both, { whole: 'we.zip' }).map(([from]) => from)).toEqual(['archive', 'archive']);
  });

  test('a time in a name that a student chose inside a zip never counts', () => {
    const inName = timeInName('YYYY-MM-DD');
    const one = packed('1001.zip', '1001', 9, 5);
    const archive = { path: '1001.zip', entry: '1001 2026-01-01.ipynb', time: due };
    expect(told([{ ...one, archive }], { inName })).toEqual([['file', 5]]);
  });

  test('several times in the table belong to several returns, the last to the last', () => {
    const times = [3, 7].map((n) => ({ student: '1001', sheet, time: due + n * hour }));
    const all = [loose('1001', 90, 'b'), loose('1001', 80, 'a'), loose('1001', 70, 'first')];
    expect(told(all, { table: times })).toEqual([
      ['table', 7],
      ['table', 3],
      ['table', 3],
    ]);
  });
});

describe('times in doubt', () => {
  test('most files within ten minutes of each other were fetched, not handed in', () => {
    const fetched = [50, 50.05, 50.1, 3].map((hours, i) => loose(`100${i}`, hours));
    expect(told(fetched).map((one) => one[2])).toEqual([
      ...[1, 2, 3].map(() => expect.stringContaining('within ten minutes')),
      undefined,
    ]);
    const spread = [1, 2, 3, 4].map((hours, i) => loose(`100${i}`, hours));
    expect(told(spread).every((one) => one.length === 2)).toBe(true);
  });

  test('a stamp in the future, one that is later than its archive, one that the name denies', () => {
    expect(told([loose('1001', 2000)])[0][2]).toMatch(/^It lies in the future: 2027-02-25/);
    const odd = ['1001', '1002', '1003'].map((student, i) => packed('c.zip', student, 20 * i, 25));
    expect(told(odd).map((one) => one[2])).toEqual([
      undefined,
      undefined,
      expect.stringMatching(
        /archive says 2026-12-05 16:00 \(UTC\), but was itself saved before that/,
      ),
    ]);
    const named = ['1001', '1002', '1003'].map((student, i) => ({
      ...packed('c.zip', student, 5, 25),
      archive: {
        ...{ path: 'c.zip', entry: `${student} 2026-12-04_0${5 - 2 * i}-00` },
        time: due + 5 * hour,
      },
    }));
    const doubts = told(named, { inName: timeInName('YYYY-MM-DD_hh-mm') }).map((one) => one[2]);
    expect(doubts).toEqual([
      undefined,
      ...[1, 2].map(() => expect.stringMatching(/^The name says/)),
    ]);
  });
});
