import { type ChangedMark, withChangedMarks } from '../../marking/changed-marks';
import type { Chosen, PassedOver } from '../../marking/choose';
import { chooseBest, type Lateness } from '../../marking/choose-best';
import type { FoundReturn } from '../../marking/found-return';
import type { MarkRecord } from '../../marking/record';
import type { Enrolled } from '../../marking/roster';
import type { MarkedAll } from './mark-all';
import type { MarkOptions } from './mark-options';
import { markWritten } from './mark-written';
import type { SheetToMark } from './sheets-to-mark';
import type { WrittenByHand } from './written-by-hand';

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

export interface Settled extends Chosen {
  /** Of the returns that count, with all marks that people gave. */
  readonly records: readonly MarkRecord[];
}

export const latenessOf = (
  { deadline, late: percent }: Pick<MarkOptions, 'deadline' | 'late'>,
  roster: readonly Enrolled[] | undefined,
): Lateness => ({
  late: deadline === undefined ? undefined : { deadline, perDay: percent / 100 },
  extraDays: new Map(roster?.map(({ student, extraDays }) => [student, extraDays])),
});

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
