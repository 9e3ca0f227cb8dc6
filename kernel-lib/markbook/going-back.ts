import { chmodSync, existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { zipSync } from 'fflate';
import { Refusal } from '../desk/refusal';
import { writeWhole } from '../kernel/files';
import { withLock } from '../marker/change-marks';
import { keptIn } from '../marker/settings';
import type { ExportProfile } from '../marking/export-table';
import { type Person, readPeople } from '../marking/roster';

/** Names and groups of a class out of its roster's file, as long as that is there; nothing of it is kept. */
export function peopleOf(folder: string): ReadonlyMap<string, Person> {
  const file = keptIn(folder)?.roster?.file;
  if (file === undefined || !existsSync(file)) return new Map();
  try {
    return readPeople(readFileSync(file, 'utf8'));
  } catch {
    // It is no table any more; the next run of the marker tells so.
    return new Map();
  }
}

const pageOf = (folder: string, student: string) => join(folder, 'students', `${student}.html`);

/** The page that a student gets back, as the last run wrote it. */
export function studentPageIn(
  folder: string,
  students: readonly string[],
  student: string,
): string {
  const file = pageOf(folder, student);
  if (!students.includes(student) || !existsSync(file))
    throw new Refusal(
      404,
      `There is no page for ${student || 'nobody'} in this folder: run it first.`,
    );
  return readFileSync(file, 'utf8');
}

const plainName = (text: string) => text.replace(/[^\p{L}\p{N} .,'’-]/gu, '').trim();

/** All students' pages in one zip, each named by number and, where the roster has one, by name. */
export function feedbackZip(
  folder: string,
  students: readonly string[],
  people: ReadonlyMap<string, Person>,
): Uint8Array {
  const files = students.flatMap((student) => {
    const file = pageOf(folder, student);
    if (!existsSync(file)) return [];
    const name = plainName(people.get(student)?.name ?? '');
    return [[`${student}${name && ` ${name}`}.html`, readFileSync(file)] as const];
  });
  return zipSync(Object.fromEntries(files), { level: 6 });
}

const profilesFile = (folder: string) => join(folder, 'exports.json');

/** The profiles that a folder of marks keeps. */
export function profilesIn(folder: string): ExportProfile[] {
  const file = profilesFile(folder);
  if (!existsSync(file)) return [];
  try {
    const found: unknown = JSON.parse(readFileSync(file, 'utf8'));
    return Array.isArray(found) ? found.flatMap((one) => readProfile(one) ?? []) : [];
  } catch {
    throw new Refusal(409, `${file} is damaged. Mend it, or remove it and make the profiles anew.`);
  }
}

/** A profile out of JSON; undefined where it is none. */
export function readProfile(value: unknown): ExportProfile | undefined {
  const one = value as Partial<ExportProfile> | null;
  if (typeof one?.name !== 'string' || !Array.isArray(one.columns)) return undefined;
  const columns = one.columns.flatMap((column) =>
    typeof column?.id === 'string' && typeof column.head === 'string'
      ? [{ id: column.id, head: column.head.slice(0, 200) }]
      : [],
  );
  return {
    ...{ name: one.name.trim().slice(0, 100), columns },
    delimiter: one.delimiter === ';' ? ';' : ',',
    as: one.as === 'percent' ? 'percent' : 'marks',
  };
}

/** Keep a profile under its name, in the place of one that had that name. */
export async function keepProfile(folder: string, profile: ExportProfile): Promise<void> {
  if (profile.name === '') throw new Refusal(400, 'Give the profile a name.');
  const file = profilesFile(folder);
  await withLock(file, async () => {
    const others = profilesIn(folder).filter(({ name }) => name !== profile.name);
    await writeWhole(file, `${JSON.stringify([...others, profile], null, 1)}\n`);
    chmodSync(file, 0o600);
  });
}
