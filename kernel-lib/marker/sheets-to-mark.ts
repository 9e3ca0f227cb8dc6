import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { readNotebookFile } from '../kernel/files';
import { built } from '../kernel/home';
import { findKey, originalNotebook, sheetNames } from '../kernel/sheets';
import type { FoundReturn } from '../marking/found-return';
import type { Notebook } from '../notebook/notebook';
import type { AnyKey } from '../questions/sheet';

/** A sheet made ready for marking. */
export interface SheetToMark {
  readonly name: string;
  readonly key: AnyKey;
  readonly original: Notebook;
  /** Digest of all that decides what a run brings forth: sheet, original notebook, library. */
  readonly digest: string;
  readonly keyDigest: string;
}

/** A return with all that is needed to mark it. */
export interface ToMark {
  readonly found: FoundReturn;
  readonly sheet: SheetToMark;
}

export function digestOf(...parts: readonly (string | Uint8Array)[]): string {
  const hash = createHash('sha256');
  for (const part of parts) hash.update(part).update('\0');
  return hash.digest('hex').slice(0, 32);
}

/**
 * The sheets with their keys.
 *
 * @param names those to mark, in any order; all that have a key unless given
 * @throws Error when one is not there or has no key here
 */
export function sheetsToMark(names: readonly string[]): Map<string, SheetToMark> {
  const chosen =
    names.length > 0
      ? [...new Set(names)].sort()
      : sheetNames().filter((name) => originalNotebook(name));
  const library = ['index.cjs', 'confined.cjs', 'convert.cjs'].map((name) =>
    readFileSync(built(name)),
  );
  const found = new Map<string, SheetToMark>();
  for (const name of chosen) {
    const key = findKey(name);
    const path = originalNotebook(name);
    if (!path)
      throw new Error(
        `There is no sheet "${name}". There are: ${sheetNames().join(', ') || 'none'}.`,
      );
    if (!key) {
      if (names.length === 0) continue;
      throw new Error(`The sheet "${name}" has no key here, so it cannot be marked.`);
    }
    const file = (part: string) => readFileSync(built(`worksheets/${name}/${part}`));
    const digest = digestOf(...library, file('sheet.cjs'), file('sheet.ipynb'));
    const keyDigest = digestOf(file('key.cjs'));
    found.set(name, { name, key, original: readNotebookFile(path), digest, keyDigest });
  }
  if (found.size === 0) throw new Error('There is no sheet with a key here, so nothing to mark.');
  return found;
}
