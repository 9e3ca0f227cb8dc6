import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import type { ClassData } from '../../kernel-lib/marking/class-data';
import type { MarkRecord } from '../../kernel-lib/marking/record';
import { type Scratch, scratch } from '../scratch';
import { oneSlit } from './class-for-test';
import { type Ended, multislit } from './multislit';

type Row = Readonly<Record<string, string>>;

/**
 * `returns` that are marked into `marks`, side by side in a scratch folder, and what can be read there afterwards. One job
 * unless told otherwise: each starts a compiler, which takes longer than the few returns of a test.
 */
export interface MarkingStage extends Scratch {
  /** Run `multislit mark` with the words of the stage and some more. */
  mark(...words: string[]): Promise<Ended>;
  /** A file of `marks`. */
  text(...parts: string[]): string;
  /** The same as a table, as a spreadsheet reads it. */
  rows(...parts: string[]): Row[];
  classData(): ClassData;
  record(student: string): MarkRecord;
  /** The marks of a student for the one sheet in the mark book; undefined where there are none. */
  marksOf(student: string): number | undefined;
}

export function markingStage(name: string, ...always: string[]): MarkingStage {
  const { at } = scratch(name);
  const text = (...parts: string[]) => readFileSync(at('marks', ...parts), 'utf8');
  const rows = (...parts: string[]): Row[] => parse(text(...parts), { columns: true, bom: true });
  return {
    at,
    mark: (...words) =>
      multislit(['mark', at('returns'), '--to', at('marks'), '--jobs', '1', ...always, ...words]),
    text,
    rows,
    classData: () => JSON.parse(text('class.json')),
    record: (student) => JSON.parse(text('records', oneSlit, `${student}.json`)),
    marksOf(student) {
      const marks = rows('marks.csv').find((row) => row.student === student)?.[oneSlit];
      return marks === undefined || marks === '' ? undefined : Number(marks);
    },
  };
}
