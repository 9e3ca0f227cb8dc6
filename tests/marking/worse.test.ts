import { describe, expect, test } from 'vitest';
import { earlierToCompare, withWorseFlags } from '../../kernel-lib/marking/choose';
import type { FoundReturn } from '../../kernel-lib/marking/found-return';
import { gatheredRows, type NotMarked } from '../../kernel-lib/marking/not-marked';
import type { MarkRecord } from '../../kernel-lib/marking/record';

const record = (path: string, marks: number, outOf = 20) =>
  ({ path, student: '1001', sheet: 's', questions: [{ marks, outOf }] }) as unknown as MarkRecord;
const flagsOf = (now: MarkRecord, before: MarkRecord) =>
  withWorseFlags([now], [before])[0].flags ?? [];

describe('a later return beside the earlier one', () => {
  test('is flagged when it is much worse', () => {
    expect(flagsOf(record('b', 4), record('a', 10))).toEqual([
      expect.stringMatching(/^An earlier return, a, has 10 marks; this one, which counts, has 4\./),
    ]);
    expect(flagsOf(record('b', 0), record('a', 2))).toHaveLength(1);
    expect(flagsOf(record('b', 9), record('a', 12))).toEqual([]);
    expect(flagsOf(record('b', 12), record('a', 4))).toEqual([]);
  });

  test('is flagged when it came from another place', () => {
    expect(flagsOf(record('x/b', 9), record('a', 9))[0]).toMatch(/from another place: a\./);
    expect(flagsOf(record('x/b', 9), record('x/a', 9))).toEqual([]);
  });

  test('is compared with the one before that says something else', () => {
    const of = (path: string, time: number, digest: string) =>
      ({ path, time, digest, student: '1001', sheet: 's' }) as FoundReturn;
    const [last, same, before, first] = [
      of('d', 4, 'y'),
      of('c', 3, 'y'),
      of('b', 2, 'x'),
      of('a', 1, 'w'),
    ];
    const all = [first, before, same, last];
    expect(earlierToCompare(all, [last]).map(({ path }) => path)).toEqual(['b']);
    expect(earlierToCompare([same, last], [last])).toEqual([]);
  });
});

describe('rows for files that are not marked', () => {
  const of = (n: number, more: Partial<NotMarked> = {}): NotMarked[] =>
    Array.from({ length: n }, (_, i) => ({
      ...{
        path: `a.zip/${i}.txt`,
        reason: 'not a notebook' as const,
        why: 'No.',
        archive: 'a.zip',
      },
      ...more,
    }));

  test('a student’s archive of very many files has twenty rows, the last with a count', () => {
    const rows = gatheredRows(of(500), () => false);
    expect(rows).toHaveLength(20);
    expect(rows.at(-1)).toMatchObject({ count: 481, why: 'This and 480 more such files. No.' });
    expect(gatheredRows(of(20), () => false)).toHaveLength(20);
  });

  test('in the class’s archive, and outside of archives, each file has its own', () => {
    expect(gatheredRows(of(500), () => true)).toHaveLength(500);
    expect(gatheredRows(of(500, { archive: undefined }), () => false)).toHaveLength(500);
  });

  test('what systems left behind is one row for all', () => {
    const rows = gatheredRows(
      of(30, { reason: 'left by a system', archive: undefined }),
      () => true,
    );
    expect(rows).toEqual([expect.objectContaining({ count: 30 })]);
  });
});
