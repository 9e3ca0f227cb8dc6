import { describe, expect, test } from 'vitest';
import type { ClassData, SheetOfStudent } from '../../kernel-lib/marking/class-data';
import type { MarkRecord } from '../../kernel-lib/marking/record';
import {
  type Now,
  nextStanding,
  noStanding,
  readStanding,
  type Standing,
} from '../../kernel-lib/marking/standing';

const sheet = '09-test';

/** A run in which student 1001 has these marks; what the marker gave is the same unless told. */
function run(marks: number[], more: Partial<Now> & Record<string, unknown> = {}): Now {
  const {
    machine = marks,
    text = 't',
    key = 'k',
    ran = 'r',
    daysLate = 0,
    counted,
  } = more as {
    [name: string]: never;
  };
  const questions = marks.map((earned, i) => ({ question: `9.${i + 1}`, marks: earned }));
  const own = (machine as number[]).map((earned, i) => ({ question: `9.${i + 1}`, marks: earned }));
  const one = {
    ...{ sheet, path: 'a.ipynb', questions, daysLate },
    counted: counted ?? marks.reduce((a, b) => a + b, 0),
  } as unknown as SheetOfStudent;
  const record = { key, ran, questions: own } as unknown as MarkRecord;
  return {
    ...{ when: '2026-12-01T00:00:00Z', counts: 'latest', lateness: 'l' },
    data: {
      sheets: [{ sheet }],
      students: [{ student: '1001', sheets: [one] }],
    } as unknown as ClassData,
    machine: new Map([['a.ipynb', record]]),
    texts: new Map([['a.ipynb', text]]),
    ...('lateness' in more ? { lateness: more.lateness as string } : {}),
    ...('counts' in more ? { counts: more.counts as string } : {}),
  };
}
const first = nextStanding(noStanding, run([2, 0])).standing;
const moves = (now: Now, last: Standing = first) =>
  nextStanding(last, now).moved.map(({ question, before, now: is, cause }) => [
    ...[question, before, is, cause],
  ]);

describe('marks that moved, with their cause', () => {
  test('none at first, none while nothing moves', () => {
    expect(nextStanding(noStanding, run([2, 0])).moved).toEqual([]);
    expect(moves(run([2, 0]))).toEqual([]);
    expect(nextStanding(first, run([2, 0])).standing).toEqual(first);
  });

  test.each<[string, Record<string, unknown>]>([
    ['key', { key: 'corrected' }],
    ['another return', { text: 'other', ran: 'other', key: 'corrected' }],
    ["a person's hand", { machine: [2, 0] }],
    ['sheet or program', { ran: 'other' }],
    ['marked again', {}],
  ])('%s', (cause, more) => {
    expect(moves(run([2, 3], more))).toEqual([['9.2', 0, 3, cause]]);
  });

  test('an answer that was read had no marks before, 0 is a mark, and the remark is the reason', () => {
    const withLast = (mark: object) => {
      const now = run([2, 0]);
      const [one] = now.data.students[0].sheets;
      const [rest] = one.questions;
      const questions = [rest, { ...one.questions[1], ...mark }];
      return {
        ...now,
        data: {
          ...now.data,
          students: [{ student: '1001', sheets: [{ ...one, questions }] }],
        } as unknown as ClassData,
      };
    };
    const unread = nextStanding(noStanding, withLast({ state: 'to be read' })).standing;
    expect(moves(withLast({ state: 'to be read' }), unread)).toEqual([]);
    const read = withLast({ state: 'not yet', remark: 'Off the point.' });
    expect(nextStanding(unread, read).moved).toMatchObject([
      { before: null, now: 0, cause: "a person's hand", why: 'Off the point.' },
    ]);
    const { standing } = nextStanding(unread, read);
    expect(moves(withLast({ state: 'to be read' }), standing)).toEqual([
      ['9.2', 0, null, "a person's hand"],
    ]);
  });

  test('another choice of what counts is a setting, and so is lateness', () => {
    expect(moves(run([2, 3], { text: 'other', counts: 'best' }))).toEqual([
      ['9.2', 0, 3, 'settings'],
    ]);
    const late = { daysLate: 1, counted: 1.6, lateness: 'another deadline' };
    expect(moves(run([2, 0], late))).toEqual([['after deduction', 2, 1.6, 'settings']]);
  });

  test('a return that is no longer here is told; of a sheet that is not marked now nothing is', () => {
    const gone = { ...run([2, 0]), data: { sheets: [{ sheet }], students: [] } } as unknown as Now;
    expect(moves(gone)).toEqual([['after deduction', 2, null, 'return gone']]);
    const other = { ...run([2, 0]), data: { sheets: [], students: [] } } as unknown as Now;
    expect(moves(other)).toEqual([]);
    expect(nextStanding(first, other).standing.stood).toEqual(first.stood);
  });

  test('the history stays and is read back; damage begins it anew', () => {
    const once = nextStanding(first, run([2, 3], { key: 'corrected' })).standing;
    const twice = nextStanding(once, run([1, 3], { key: 'again' })).standing;
    expect(twice.moved.map(({ question, before, now }) => [question, before, now])).toEqual([
      ['9.2', 0, 3],
      ['9.1', 2, 1],
    ]);
    expect(readStanding(JSON.stringify(twice))).toEqual(twice);
    for (const text of ['', '{', 'null', '{"moved":[]}'])
      expect(readStanding(text)).toBeUndefined();
  });
});
