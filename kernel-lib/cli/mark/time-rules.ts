import type { FoundReturn } from '../../marking/found-return';
import type { TimeRules } from '../../marking/hand-in-time';
import { timeInName } from '../../marking/time-in-name';
import type { MarkOptions } from './mark-options';
import type { Settings } from './settings';

/** How times of handing in are told in this run. */
export const timeRules = ({ zone, times, timeInNames }: Settings): TimeRules => ({
  table: times?.rows ?? [],
  zone,
  now: Date.now(),
  ...(timeInNames === undefined ? {} : { inName: timeInName(timeInNames) }),
});

/** From this many returns on, a deadline that all of them miss is rather a wrong deadline. */
const fewest = 3;

/** Where every return would be late, each time is in doubt: the deadline may be of another year. */
export function withAllLate(
  found: readonly FoundReturn[],
  { deadline }: Pick<MarkOptions, 'deadline'>,
): FoundReturn[] {
  const isLate = ({ time }: FoundReturn) => deadline !== undefined && (time ?? 0) > deadline;
  if (found.length < fewest || !found.every(isLate)) return [...found];
  const doubt = 'Every return would be late: is the deadline the right one?';
  return found.map((one) => (one.doubt === undefined ? { ...one, doubt } : one));
}
