import { counted as howMany } from '../figures/shown';
import type { FoundReturn } from './found-return';
import { daysLate, type Earned, type ExtraDays, earned, type LateRule } from './late';
import { type MarkRecord, marksOf } from './record';

/** A return that does not count, and why. */
export interface PassedOver {
  readonly path: string;
  readonly student: string;
  readonly sheet: string;
  readonly reason: 'earlier return' | 'same again' | 'another counts';
  readonly why: string;
  /** What it earned, where it was marked. */
  readonly marks?: number;
  /** After the deduction for days late. */
  readonly counted?: number;
}

export interface Chosen {
  readonly counted: FoundReturn[];
  readonly passedOver: PassedOver[];
}

/** Later first; a file that names another student comes after those that do not, whatever its time. */
function before(a: FoundReturn, b: FoundReturn): number {
  return (
    Number(a.namesAnother ?? false) - Number(b.namesAnother ?? false) ||
    (b.time ?? 0) - (a.time ?? 0) ||
    (a.path < b.path ? 1 : -1)
  );
}

/** What each student handed in of each sheet, the latest first; in the order of sheets and students. */
function byStudentAndSheet(found: readonly FoundReturn[]): FoundReturn[][] {
  const groups = new Map<string, FoundReturn[]>();
  for (const one of found) {
    const key = `${one.sheet} ${one.student}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, list]) => list.sort(before));
}

/** Why one comes before another; both times stand beside it in the table of returns. */
function order(time: number | undefined, other: number | undefined): string {
  if (time === undefined) return 'nothing tells when this one came';
  return time === other
    ? 'both came at one time, and its name is the later by the alphabet'
    : 'it came later';
}

/** One return for each student and sheet: the latest. The others are listed. */
export function chooseReturns(found: readonly FoundReturn[]): Chosen {
  const counted: FoundReturn[] = [];
  const passedOver: PassedOver[] = [];
  for (const [latest, ...others] of byStudentAndSheet(found)) {
    counted.push(latest);
    for (const one of others) passedOver.push(passOver(one, latest));
  }
  return { counted, passedOver };
}

/** Why one return is not even marked, or does not count, beside another that does. */
function passOver(
  { path, student, sheet, digest, time, namesAnother, group }: FoundReturn,
  other: FoundReturn,
): PassedOver {
  const same = digest === other.digest;
  const why = same
    ? `It says the same as ${other.path}.`
    : `${other.path} counts: ${namesAnother && !other.namesAnother ? `this ${group ? 'one is a group’s, that one the student’s own' : 'file’s name says another student'}` : order(time, other.time)}.`;
  return { path, student, sheet, reason: same ? 'same again' : 'earlier return', why };
}

/** What lateness depends on. */
export interface Lateness {
  readonly late: LateRule | undefined;
  readonly extraDays: ExtraDays;
}

/**
 * The returns that are marked where the best counts: of those with the same text the one that is least late, the
 * latest of these. A file that names another student is left aside where there is one that does not.
 */
export function returnsToCompare(
  found: readonly FoundReturn[],
  { late, extraDays }: Lateness,
): Chosen {
  /** Less is better: a later round is worse than any day late in an earlier one would be. */
  const worse = (one: FoundReturn) => {
    if (!late) return 0;
    const extra = extraDays(one.student, one.sheet);
    const after = one.time === undefined ? 0 : Math.max(0, one.time - late.deadline);
    return late.again ? after : daysLate(one.time, late, extra);
  };
  const counted: FoundReturn[] = [];
  const passedOver: PassedOver[] = [];
  for (const [latest, ...earlier] of byStudentAndSheet(found)) {
    const byText = new Map([[latest.digest, [latest]]]);
    for (const one of earlier) {
      if (one.namesAnother && !latest.namesAnother) passedOver.push(namedOtherwise(one, latest));
      else byText.set(one.digest, [...(byText.get(one.digest) ?? []), one]);
    }
    for (const same of byText.values()) {
      const first = same.reduce((a, b) => (worse(b) < worse(a) ? b : a));
      counted.push(first);
      for (const one of same) if (one !== first) passedOver.push(passOver(one, first));
    }
  }
  return { counted, passedOver };
}

const namedOtherwise = (one: FoundReturn, { path }: FoundReturn): PassedOver => ({
  path: one.path,
  student: one.student,
  sheet: one.sheet,
  reason: 'another counts',
  why: `This file’s name says another student than the notebook; that of ${path} does not.`,
});

function inWords({ marks, daysLate: days, counted, again }: Earned): string {
  const capped = again ? [`${counted} as one of round ${again.round}, at most ${again.most}`] : [];
  const late = days > 0 ? [`${counted} after ${howMany(days, 'day')} late`] : [];
  const aside = [...capped, ...late];
  return `${howMany(marks, 'mark')}${aside.length > 0 ? ` (${aside.join('; ')})` : ''}`;
}

/**
 * Of the returns of one student and sheet the one with most marks after the deduction for days late; of equals the
 * later one.
 *
 * @param compared as `returnsToCompare` gives them
 * @param records of those that could be run, with the marks that people gave
 */
export function chooseBest(
  compared: readonly FoundReturn[],
  records: readonly MarkRecord[],
  { late, extraDays }: Lateness,
): Chosen & { readonly records: MarkRecord[] } {
  const byPath = new Map(records.map((record) => [record.path, record]));
  const counted: FoundReturn[] = [];
  const passedOver: PassedOver[] = [];
  const best: MarkRecord[] = [];
  for (const group of byStudentAndSheet(compared)) {
    const marked = group.flatMap((one) => {
      const record = byPath.get(one.path);
      const extra = extraDays(one.student, one.sheet);
      return record ? [{ one, record, worth: earned(record, late, extra) }] : [];
    });
    if (marked.length === 0) continue;
    const first = marked.reduce((a, b) => (b.worth.counted > a.worth.counted ? b : a));
    counted.push(first.one);
    best.push(first.record);
    for (const { one, worth } of marked) {
      if (one === first.one) continue;
      const { path, student, sheet } = one;
      const why = `${first.one.path} counts with ${inWords(first.worth)}; this one has ${inWords(worth)}.`;
      const { marks, counted: after } = worth;
      passedOver.push({
        path,
        student,
        sheet,
        reason: 'another counts',
        why,
        marks,
        counted: after,
      });
    }
  }
  return { counted, passedOver, records: best };
}

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
