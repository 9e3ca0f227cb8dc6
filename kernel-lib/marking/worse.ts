import { counted as howMany } from '../figures/shown';
import { byStudentAndSheet } from './choose';
import type { FoundReturn } from './found-return';
import { type MarkRecord, marksOf } from './record';

/** For each return that counts the one before it that says something else. */
export function earlierToCompare(
  found: readonly FoundReturn[],
  counted: readonly FoundReturn[],
): FoundReturn[] {
  const isCounted = new Set(counted);
  return byStudentAndSheet(found).flatMap((group) => {
    const first = group.find((one) => isCounted.has(one));
    const before = group.find((one) => !isCounted.has(one) && one.digest !== first?.digest);
    return before ? [before] : [];
  });
}

/** The folder or archive in which a return lay. */
const placeOf = (path: string) => path.slice(0, Math.max(0, path.lastIndexOf('/')));

/** A return is much worse when it has lost a quarter of what the sheet gives, or half of what the earlier one had. */
function isMuchWorse(now: MarkRecord, before: MarkRecord): boolean {
  const outOf = now.questions.reduce((sum, one) => sum + one.outOf, 0);
  const lost = marksOf(before) - marksOf(now);
  return lost >= 2 && lost >= Math.min(outOf / 4, marksOf(before) / 2);
}

/**
 * The records with a word on those whose earlier return earned much more, or came from another place: the later one may
 * not be the student's, or not the one that was meant.
 */
export function withWorseFlags(
  records: readonly MarkRecord[],
  before: readonly MarkRecord[],
): MarkRecord[] {
  const at = ({ student, sheet }: MarkRecord) => `${student} ${sheet}`;
  const earlier = new Map(before.map((record) => [at(record), record]));
  return records.map((record) => {
    const old = earlier.get(at(record));
    if (!old) return record;
    const worse = isMuchWorse(record, old)
      ? [
          `An earlier return, ${old.path}, has ${howMany(marksOf(old), 'mark')}; this one, which counts, has ${marksOf(record)}. Ask which was meant.`,
        ]
      : [];
    const moved =
      placeOf(record.path) !== placeOf(old.path)
        ? [`An earlier return came from another place: ${old.path}.`]
        : [];
    const flags = [...(record.flags ?? []), ...worse, ...moved];
    return flags.length > 0 ? { ...record, flags } : record;
  });
}
