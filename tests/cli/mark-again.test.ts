import { describe, expect, test } from 'vitest';
import {
  mayHaveMetABusyMachine,
  ranDigest,
  recordWithoutRun,
  timesStopped,
} from '../../kernel-lib/marker/mark-all';
import type { ToMark } from '../../kernel-lib/marker/sheets-to-mark';
import { type SheetToMark, sheetsToMark } from '../../kernel-lib/marker/sheets-to-mark';
import { type FoundReturn, writtenText } from '../../kernel-lib/marking/found-return';
import { judgeReturn } from '../../kernel-lib/marking/judge-return';
import { type MarkRecord, marksOf } from '../../kernel-lib/marking/record';
import { givensFor } from '../../kernel-lib/questions/draw';
import type { AnyOpenQuestion } from '../../kernel-lib/questions/sheet';
import { oneSlit, returnOf } from './class-for-test';

const sheet = sheetsToMark([oneSlit]).get(oneSlit) as SheetToMark;
const student = '204117';
const given = givensFor(sheet.key.sheet, student);
const found: FoundReturn = {
  path: 'a.ipynb',
  student,
  sheet: oneSlit,
  digest: 'd',
  text: writtenText(returnOf(oneSlit, student)),
};
const question = Object.values(sheet.key.sealed).find(({ kind }) => kind === 'number');
if (question?.kind !== 'number') throw new Error('The sheet has no sealed number.');
const { id, unit, marks } = question;

/** The sheet with a key in which one sealed question was corrected. */
const corrected = (change: object): SheetToMark => ({
  ...sheet,
  key: {
    ...sheet.key,
    sealed: { ...sheet.key.sealed, [id]: { ...question, ...change } as AnyOpenQuestion },
  },
  keyDigest: 'corrected',
});

/** As a run leaves it: one answer, a million of the unit, which the old key does not take. */
const answers = { [id]: { is: 'number', value: 1e6 } } as const;
const toMark: ToMark = { found, sheet };
const old: MarkRecord = {
  student,
  sheet: oneSlit,
  path: 'a.ipynb',
  time: null,
  ran: ranDigest(toMark, given),
  key: sheet.keyDigest,
  questions: judgeReturn(sheet.key, given, new Map(Object.entries(answers))),
  cells: [],
  answers,
  written: {},
};

const limits = { cell: 20_000, sheet: 90_000 };

describe('marking again', () => {
  test('a corrected key judges the answers that stand, and the old marks are kept to compare', () => {
    const right = corrected({ tolerance: { absolute: 1e12 }, slips: [] });
    const now = recordWithoutRun({ found, sheet: right }, old, limits) as MarkRecord;
    expect([marksOf(old), marksOf(now)]).toEqual([0, marks]);
    expect(now.key).toBe('corrected');
    expect(recordWithoutRun({ found, sheet: right }, now, limits)).toEqual(now);
    expect(unit).not.toBe('');
  });

  test('with nothing changed the record stays as it is', () => {
    expect(marksOf(recordWithoutRun(toMark, old, limits) as MarkRecord)).toBe(0);
    expect(recordWithoutRun(toMark, old, limits)).not.toHaveProperty('before');
  });

  test.each<[string, ToMark]>([
    ['another return', { found: { ...found, digest: 'other' }, sheet }],
    ['another sheet or library', { found, sheet: { ...sheet, digest: 'other' } }],
    ['another student', { found: { ...found, student: '204118' }, sheet }],
  ])('%s must run', (_, changed) => expect(recordWithoutRun(changed, old, limits)).toBeUndefined());

  test('what was stopped gets another chance', () => {
    const error = { name: 'Stopped', message: 'The cell ran longer than 20 s and was stopped.' };
    expect(
      recordWithoutRun(toMark, { ...old, cells: [{ id: 'a', error }] }, limits),
    ).toBeUndefined();
    expect(recordWithoutRun(toMark, { ...old, failure: 'It ended.' }, limits)).toBeUndefined();
  });

  test('what was stopped twice with the same limits stands; with longer ones it runs', () => {
    const failed = { ...old, failure: 'It took too long.' };
    const stopped = (times: number) => ({ ...failed, stopped: { times, ...limits } });
    expect(recordWithoutRun(toMark, stopped(1), limits)).toBeUndefined();
    const { failure, stopped: kept } = recordWithoutRun(toMark, stopped(2), limits) as MarkRecord;
    expect([failure, kept]).toEqual(['It took too long.', { times: 2, ...limits }]);
    expect(recordWithoutRun(toMark, stopped(2), { ...limits, cell: 5000 })).toBeDefined();
    for (const longer of [{ cell: 40_000 }, { sheet: 180_000 }])
      expect(recordWithoutRun(toMark, stopped(2), { ...limits, ...longer })).toBeUndefined();
    const other = { found: { ...found, digest: 'other' }, sheet };
    const longer = { ...limits, cell: 40_000 };
    expect([
      timesStopped(toMark, stopped(2), limits),
      timesStopped(other, stopped(2), limits),
      timesStopped(toMark, stopped(2), longer),
    ]).toEqual([2, 0, 0]);
  });

  test('what may have met a busy machine: a cell that had little of the processor, or all that failed', () => {
    const error = (more: object) => ({ name: 'Stopped', message: 'It was stopped.', ...more });
    const cells = (more: object) => [{ id: 'a', error: error(more) }];
    expect(mayHaveMetABusyMachine({ cells: cells({}) })).toBe(false);
    expect(mayHaveMetABusyMachine({ cells: cells({ idle: true }) })).toBe(true);
    expect(mayHaveMetABusyMachine({ cells: [], failure: 'It took too long.' })).toBe(true);
    expect(mayHaveMetABusyMachine({ cells: cells({ name: 'Error', idle: true }) })).toBe(false);
  });

  test('without a record it must run', () => {
    expect(recordWithoutRun(toMark, undefined, limits)).toBeUndefined();
  });

  test('a function that the key tries at other points must run', () => {
    const [own] = sheet.key.sheet.questions.filter(({ kind }) => kind === 'function');
    const moved = { ...own, points: () => [[0.123]] } as AnyOpenQuestion;
    const questions = sheet.key.sheet.questions.map((one) => (one === own ? moved : one));
    const key = { ...sheet.key, sheet: { ...sheet.key.sheet, questions } };
    expect(recordWithoutRun({ found, sheet: { ...sheet, key } }, old, limits)).toBeUndefined();
  });
});
