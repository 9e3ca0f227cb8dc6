import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { writeWhole } from '../kernel/files';
import { sheetNames } from '../kernel/sheets';
import {
  type ChangedMark,
  changedMarksHead,
  readChangedMarks,
  withChangedMarks,
} from '../marking/changed-marks';
import { type Chosen, chooseBest, type Lateness, type PassedOver } from '../marking/choose';
import type { FoundReturn } from '../marking/found-return';
import { type ExtraLine, extraDaysOf, readExtraDays } from '../marking/late';
import type { MarkRecord } from '../marking/record';
import type { Enrolled } from '../marking/roster';
import { changedMarksFile } from './change-marks';
import type { MarkedAll } from './mark-all';
import type { MarkOptions } from './settings';
import type { SheetToMark } from './sheets-to-mark';
import { markWritten, type WrittenByHand } from './written-by-hand';

export interface ToSettle {
  readonly sheets: ReadonlyMap<string, SheetToMark>;
  readonly roster: readonly Enrolled[] | undefined;
  readonly marked: MarkedAll;
  /** The returns that were marked: those that count, or of which the best will. */
  readonly counted: readonly FoundReturn[];
  readonly passedOver: readonly PassedOver[];
  /** Marks that a person changed. */
  readonly changes: readonly ChangedMark[];
  /** What people entered for written answers. */
  readonly written: WrittenByHand;
}

interface Settled extends Chosen {
  /** Of the returns that count, with all marks that people gave. */
  readonly records: readonly MarkRecord[];
}

export const latenessOf = (
  {
    deadline,
    late: percent,
    believeTimes,
    again,
    extra,
  }: Pick<MarkOptions, 'deadline' | 'late' | 'believeTimes' | 'again' | 'extra'>,
  roster: readonly Enrolled[] | undefined,
): Lateness => ({
  late:
    deadline === undefined
      ? undefined
      : { deadline, perDay: percent / 100, believeTimes, ...(again.length > 0 ? { again } : {}) },
  extraDays: extraDaysOf(roster, extra),
});

export const extraDaysFile = 'extra-days.csv';

/**
 * Days that were granted, out of the folder of marks.
 *
 * @throws Error that names the file and the line; asked before anything is marked
 */
export function extraDaysIn(
  folder: string,
  students: ReadonlySet<string> | undefined,
): ExtraLine[] {
  const file = join(folder, extraDaysFile);
  if (!existsSync(file)) return [];
  try {
    return readExtraDays(readFileSync(file, 'utf8'), {
      ...(students ? { students } : {}),
      sheets: sheetNames(),
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new Error(`${file}: ${error.message}`);
  }
}

/** Give the records the marks of people; and where the best return counts, find it by all of these. */
export async function settle(options: MarkOptions, all: ToSettle): Promise<Settled> {
  const { sheets, marked, changes, counted, passedOver, roster } = all;
  const read = await markWritten(options.to, sheets, marked.records, all.written);
  const records = withChangedMarks(read, changes);
  if (options.count === 'latest')
    return { records, counted: [...counted], passedOver: [...passedOver] };
  const best = chooseBest(counted, records, latenessOf(options, roster));
  return { ...best, passedOver: [...passedOver, ...best.passedOver] };
}

/**
 * The marks that a person changed, out of the folder of marks. Where there is no such file one is begun; what
 * stands in it is only read.
 *
 * @throws Error that names the file and the line; asked before anything is marked
 */
export async function changedByHand(
  folder: string,
  sheets: ReadonlyMap<string, SheetToMark>,
  returns: readonly FoundReturn[],
  roster: ReadonlySet<string> | undefined,
): Promise<ChangedMark[]> {
  const file = join(folder, changedMarksFile);
  const text = existsSync(file) ? readFileSync(file, 'utf8') : '';
  if (text.trim() === '') {
    mkdirSync(folder, { recursive: true });
    await writeWhole(file, changedMarksHead);
    return [];
  }
  const outOf = [...sheets].map(
    ([name, { key }]) =>
      [name, new Map(key.sheet.questions.map(({ id, marks }) => [id, marks]))] as const,
  );
  const here = new Set(returns.map(({ student, sheet }) => `${student} ${sheet}`));
  try {
    return readChangedMarks(text, {
      outOf: new Map(outOf),
      sheets: sheetNames(),
      students: new Set([...(roster ?? []), ...returns.map(({ student }) => student)]),
      handedIn: (student, sheet) => here.has(`${student} ${sheet}`),
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new Error(`${file}: ${error.message}`);
  }
}
