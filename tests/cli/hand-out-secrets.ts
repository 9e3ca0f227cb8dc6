import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { findKey, originalNotebook, sheetNames } from '../../kernel-lib/kernel/sheets';
import { sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { givensFor } from '../../kernel-lib/questions/draw';
import { sampleStudent } from '../../kernel-lib/questions/student-number';

/** Something of a key that no student may receive. */
export interface Secret {
  readonly what: string;
  readonly text: string;
  /** Compared as code, spaces aside; otherwise as words, whatever stands between them. */
  readonly isCode: boolean;
}

const decoded = (text: string) =>
  text.replace(/\\u([0-9a-fA-F]{4})/g, (_, code) => String.fromCharCode(Number.parseInt(code, 16)));
export const asCode = (text: string) => decoded(text).replace(/\s+/g, '');
export const asWords = (text: string) =>
  decoded(text)
    .replace(/\\n/g, ' ')
    .replace(/[^\p{L}\p{N}]+/gu, '');

/** Shorter lines, such as `return sum;`, say nothing and stand in any program. */
const fewest = 16;

function sourceOfKey(name: string): string {
  const url = new URL(`../../worksheets/${name}/key.ts`, import.meta.url);
  return readFileSync(fileURLToPath(url), 'utf8');
}

function secretsOf(name: string): Secret[] {
  const key = findKey(name);
  const path = originalNotebook(name);
  if (!key || !path) throw new Error(`${name} is not built with its key`);
  const cells = readNotebook(readFileSync(path, 'utf8')).cells.map(sourceOf).join('\n');
  const [inCells, wordsInCells] = [asCode(cells), asWords(cells)];
  // The page repeats what the sheet tells everybody of the sample student's givens.
  const told = key.sheet.tells?.(givensFor(key.sheet, sampleStudent)) ?? [];
  const code = (what: string, text: string) => ({ what: `${name}: ${what}`, text, isCode: true });
  const words = (what: string, text: string) => ({ what: `${name}: ${what}`, text, isCode: false });
  const formulas = [...sourceOfKey(name).matchAll(/^\s+(?:expected|value):\s*([\s\S]*?),\n/gm)];
  const sealed = Object.values(key.sealed).flatMap((question) =>
    'expected' in question ? [String(question.expected)] : question.accepts.toString(),
  );
  const lines = Object.values(key.model).flatMap((source) => source.split('\n'));
  return [
    ...formulas.map(([, text]) => code('a formula of key.ts', text)),
    ...sealed.map((text) => code('a sealed formula as built', text)),
    ...lines
      .filter((line) => !inCells.includes(asCode(line)) && !wordsInCells.includes(asWords(line)))
      .map((line) => code('a line of a model answer', line)),
    ...Object.values(key.schemes).flatMap((points) =>
      points.map(({ point }) => words('a point of a mark scheme', point)),
    ),
    ...key.instructor
      .split('\n')
      .filter((line) => !told.some((each) => line.endsWith(each)))
      .map((line) => words('the page for instructors', line)),
  ].filter(({ text, isCode }) => (isCode ? asCode(text) : asWords(text)).length >= fewest);
}

const stringsIn = (value: unknown): string[] => {
  if (typeof value === 'string') return [value];
  return value === null ? [] : Object.values(value as object).flatMap(stringsIn);
};

/** What a file says: of JSON its texts as they are, without the backslashes that would hide what is sought. */
export const saidIn = (path: string, text: string): string =>
  path.endsWith('.json') ? `${text}\n${stringsIn(JSON.parse(text)).join('\n')}` : text;

/** Everything of every key that must not be found in a hand-out. */
export const allSecrets = (): Secret[] => sheetNames().flatMap(secretsOf);
