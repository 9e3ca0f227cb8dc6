import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { AnyKey, AnySheet } from '../questions/sheet';
import { built, homeRequire } from './home';

const folder = built('worksheets');

/** Names of the sheets that are built, in order: one for each folder of worksheets/ with a sheet.ts. */
export function sheetNames(): string[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .filter((name) => existsSync(join(folder, name, 'sheet.cjs')))
    .sort();
}

/** A part of a sheet, `sheet` or `key`, or undefined when it is not there. Names with `..` or `/` find nothing. */
function load<Part>(name: string, part: 'sheet' | 'key'): Part | undefined {
  if (!sheetNames().includes(name)) return undefined;
  const file = join(folder, name, `${part}.cjs`);
  return existsSync(file) ? (homeRequire(file) as { default: Part }).default : undefined;
}

export const findSheet = (name: string): AnySheet | undefined => load(name, 'sheet');

/** The key of a sheet; a student's hand-out has none. */
export const findKey = (name: string): AnyKey | undefined => load(name, 'key');

/** The notebook of a sheet as it is handed out, or undefined. */
export function originalNotebook(name: string): string | undefined {
  const file = join(folder, name, 'sheet.ipynb');
  return sheetNames().includes(name) && existsSync(file) ? file : undefined;
}
