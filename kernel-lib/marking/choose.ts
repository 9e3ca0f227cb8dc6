import type { FoundReturn } from './found-return';

/** A return that does not count, and why. */
export interface PassedOver {
  readonly path: string;
  readonly student: string;
  readonly sheet: string;
  readonly reason: 'earlier return' | 'same again';
  readonly why: string;
}

/** Later first; a file that names another student comes after those that do not, whatever its time. */
function before(a: FoundReturn, b: FoundReturn): number {
  return (
    Number(a.namesAnother ?? false) - Number(b.namesAnother ?? false) ||
    (b.time ?? 0) - (a.time ?? 0) ||
    (a.path < b.path ? 1 : -1)
  );
}

const said = (time: number | undefined) =>
  time === undefined ? 'at an unknown time' : new Date(time).toISOString();

/** One return for each student and sheet: the latest. The others are listed. */
export function chooseReturns(found: readonly FoundReturn[]): {
  counted: FoundReturn[];
  passedOver: PassedOver[];
} {
  const groups = new Map<string, FoundReturn[]>();
  for (const one of found) {
    const key = `${one.sheet} ${one.student}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  const counted: FoundReturn[] = [];
  const passedOver: PassedOver[] = [];
  for (const key of [...groups.keys()].sort()) {
    const [latest, ...others] = (groups.get(key) as FoundReturn[]).sort(before);
    counted.push(latest);
    for (const { path, student, sheet, digest, time, namesAnother } of others) {
      const same = digest === latest.digest;
      const why = same
        ? `It says the same as ${latest.path}.`
        : `${latest.path} counts: ${namesAnother && !latest.namesAnother ? 'this file’s name says another student' : `it is from ${said(latest.time)}, this one from ${said(time)}`}.`;
      passedOver.push({
        path,
        student,
        sheet,
        reason: same ? 'same again' : 'earlier return',
        why,
      });
    }
  }
  return { counted, passedOver };
}
