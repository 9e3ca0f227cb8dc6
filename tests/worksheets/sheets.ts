import { readdirSync } from 'node:fs';
import type { AnyKey, AnySheet } from '../../kernel-lib/questions/sheet';

const worksheets = new URL('../../worksheets/', import.meta.url);

/** The names of all sheets: each is a folder that begins with a number. */
export const names = readdirSync(worksheets).filter((name) => /^\d\d-/.test(name));

const load = async (name: string, part: string) =>
  (await import(/* @vite-ignore */ `${worksheets.href}${name}/${part}.ts`)).default;
export const sheetNamed = (name: string): Promise<AnySheet> => load(name, 'sheet');
export const keyNamed = (name: string): Promise<AnyKey> => load(name, 'key');
