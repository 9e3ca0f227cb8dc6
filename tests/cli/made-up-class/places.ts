import { mkdirSync, utimesSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { type Zippable, zipSync } from 'fflate';
import type { Random } from '../../../kernel-lib/numerics/random';

const bytes = (text: string) => new TextEncoder().encode(text);

/** Path of a file, and the entries that lead to the notebook where it is an archive. */
type Named = (student: string, sheet: string) => readonly string[];

const plainNames: readonly Named[] = [
  (student, sheet) => [`${student} ${sheet}.ipynb`],
  (student, sheet) => [`${sheet}/${student}.ipynb`],
  (student, sheet) => [`Übung – South bench, Room 12/${sheet}/nr. ${student} (final) (2).ipynb`],
  (student, sheet) => [`${student}/sheet ${sheet.slice(0, 2)}/mine.ipynb`],
  (student, sheet) => [`late & loud/#${student}_100%_${sheet}.IPYNB`],
  (student, sheet) => [`🔬 week ${sheet.slice(0, 2)}/answer-${student}`],
  (student, sheet) => [`${'x'.repeat(150)} ${student} ${sheet}.ipynb`],
  (student, sheet) => [`a'b"c/${student}, ${sheet}; $(name) .ipynb.txt`],
];

const zipNames: readonly Named[] = [
  (student, sheet) => [`${student}-${sheet}.zip`, `Middle bench/${sheet}.ipynb`],
  (student, sheet) => [`by mail/${sheet} ${student}.ZIP`, 'mine.zip', `${sheet}\\a.ipynb`],
];

/** How a path is named in what marking writes. */
export const labelOf = (parts: readonly string[]): string =>
  parts.map((part) => part.replaceAll('\\', '/')).join('/');

/** Somewhere for a student's file; `inFolder` keeps a second one apart from the first. */
export function somewhere(
  student: string,
  sheet: string,
  random: Random,
  { inFolder = '', plain = false } = {},
): string[] {
  const names = plain || random.uniform() < 0.8 ? plainNames : zipNames;
  const [path, ...entries] = names[random.whole(names.length)](student, sheet);
  return [inFolder ? `${inFolder}/${path}` : path, ...entries];
}

/** Write a file as it was handed in, with what systems leave beside it. */
export function handInAt(
  folder: string,
  [path, ...entries]: readonly string[],
  content: string | Uint8Array,
  time: number,
): void {
  const file = join(folder, path);
  mkdirSync(dirname(file), { recursive: true });
  const packed = entries.reduceRight<Uint8Array>(
    (inside, entry) => {
      const files: Zippable = { [entry]: [inside, { mtime: time }] };
      files['__MACOSX/._a.ipynb'] = [bytes('left by the system'), { mtime: time }];
      return zipSync(files);
    },
    typeof content === 'string' ? bytes(content) : content,
  );
  writeFileSync(file, packed);
  utimesSync(file, time / 1000, time / 1000);
  writeFileSync(join(dirname(file), '.DS_Store'), 'left by the system');
}
