import { chmodSync, existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { zipSync } from 'fflate';
import { Refusal } from '../desk/refusal';
import { writeWhole } from '../kernel/files';
import { withLock } from '../marker/change-marks';
import { keptIn } from '../marker/settings';
import { tableText } from '../marking/csv';
import { type ExportProfile, pageName } from '../marking/export-table';
import { modelFolder } from '../marking/report/solutions';
import { type Person, readPeople } from '../marking/roster';

/** Names, addresses and groups of a class out of its roster's file, as long as that is there. */
export function peopleOf(folder: string): ReadonlyMap<string, Person> {
  const kept = keptIn(folder);
  const file = kept?.roster?.file;
  if (file === undefined || !existsSync(file)) return new Map();
  try {
    return readPeople(tableText(readFileSync(file)), kept?.rosterColumns);
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

/** All students' pages in one zip, and model answers where they are given, named by number and, where the roster has one, by name. */
export function feedbackZip(
  folder: string,
  students: readonly string[],
  people: ReadonlyMap<string, Person>,
): Uint8Array {
  const files = students.flatMap((student) => {
    const file = pageOf(folder, student);
    if (!existsSync(file)) return [];
    const name = pageName(student, people.get(student)?.name);
    const models = join(folder, 'students', student, modelFolder);
    const sheets = existsSync(models) ? readdirSync(models).sort() : [];
    const beside = name.replace(/\.html$/, ` ${modelFolder}`);
    return [
      [name, readFileSync(file)] as const,
      ...sheets.map((one) => [`${beside}/${one}`, readFileSync(join(models, one))] as const),
    ];
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
    ...intoIn(one.into),
  };
}

function intoIn(value: unknown): Pick<ExportProfile, 'into'> {
  const into = value as Partial<NonNullable<ExportProfile['into']>> | undefined | null;
  if (typeof into?.student !== 'string' || !Array.isArray(into.columns)) return {};
  const columns = into.columns.flatMap((one) =>
    typeof one?.id === 'string' && typeof one.heading === 'string'
      ? [{ heading: one.heading.slice(0, 500), id: one.id }]
      : [],
  );
  const decimal = into.decimal === ',' ? ',' : '.';
  const student = into.student.slice(0, 500);
  return { into: { student, columns, decimal, toPoints: into.toPoints === true } };
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
