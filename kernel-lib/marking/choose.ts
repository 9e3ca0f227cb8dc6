import type { FoundReturn } from './found-return';

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
export function byStudentAndSheet(found: readonly FoundReturn[]): FoundReturn[][] {
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
export function passOver(
  { path, student, sheet, digest, time, namesAnother }: FoundReturn,
  other: FoundReturn,
): PassedOver {
  const same = digest === other.digest;
  const why = same
    ? `It says the same as ${other.path}.`
    : `${other.path} counts: ${namesAnother && !other.namesAnother ? 'this file’s name says another student' : order(time, other.time)}.`;
  return { path, student, sheet, reason: same ? 'same again' : 'earlier return', why };
}
