import { createHash } from 'node:crypto';
import { constants } from 'node:fs';
import { access, lstat, open, realpath } from 'node:fs/promises';
import { dirname, join, sep } from 'node:path';
import { replaceFile } from '../kernel/files';
import { fileRefusal, Refusal } from './refusal';

/** What a file holds, with the version that names exactly this. */
export interface Stored {
  readonly bytes: Buffer;
  /** Its bytes as UTF-8. */
  readonly text: string;
  readonly version: string;
  readonly modified: Date;
  readonly size: number;
}

/** What must hold before a save: that this version is still there, or that nothing is. */
export type Expected = { readonly version: string } | 'nothing' | undefined;

const versionOf = (bytes: Buffer): string => createHash('sha256').update(bytes).digest('hex');

/** Opened so, a pipe that nobody writes into does not hold the reader up. Windows has no such pipes among files. */
const reading = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);

/** @throws Refusal with one sentence when it cannot be read or is no ordinary file */
export async function readStored(file: string, name: string): Promise<Stored> {
  try {
    const handle = await open(file, reading);
    try {
      const info = await handle.stat();
      if (info.isDirectory()) throw fileRefusal({ code: 'EISDIR' }, name);
      if (!info.isFile()) throw new Refusal(409, `${name} is no ordinary file.`);
      const bytes = await handle.readFile();
      const { mtime, size } = await handle.stat();
      const text = bytes.toString('utf8');
      return { bytes, text, version: versionOf(bytes), modified: mtime, size };
    } finally {
      await handle.close();
    }
  } catch (error) {
    // A socket is not even opened.
    if ((error as NodeJS.ErrnoException).code === 'ENXIO')
      throw new Refusal(409, `${name} is no ordinary file.`);
    throw fileRefusal(error, name);
  }
}

const turns = new Map<string, Promise<unknown>>();

/** One after the other for each file, so that looking at the version and writing cannot be torn apart. */
function inTurn<T>(file: string, work: () => Promise<T>): Promise<T> {
  const next = (turns.get(file) ?? Promise.resolve()).then(work, work);
  const quiet = next.catch(() => undefined);
  turns.set(file, quiet);
  void quiet.then(() => turns.get(file) === quiet && turns.delete(file));
  return next;
}

/**
 * Write a file whole or not at all.
 *
 * @throws Refusal (409) when the file is not as `expected`; the file is then left alone
 */
export function saveStored(
  file: string,
  name: string,
  content: string | Buffer,
  expected: Expected,
): Promise<Stored> {
  return inTurn(file, async () => {
    if (expected !== undefined) {
      const there = await readStored(file, name).catch((error) => {
        if (error instanceof Refusal && error.status === 404) return undefined;
        throw error;
      });
      const fits = expected === 'nothing' ? !there : there?.version === expected.version;
      if (!fits)
        throw new Refusal(
          409,
          there
            ? `${name} was changed somewhere else since this page read it.`
            : `${name} was moved or deleted since this page read it.`,
        );
    }
    try {
      // Renaming over it would get round a file that was made read-only on purpose.
      await access(file, constants.W_OK).catch((error) => {
        if (error.code !== 'ENOENT') throw error;
      });
      await replaceFile(file, content);
    } catch (error) {
      throw fileRefusal(error, name);
    }
    return readStored(file, name);
  });
}

/**
 * The real place of a path that a client asked for, inside `root`.
 *
 * @param path relative, with `/` between its parts; '' is the root itself
 * @throws Refusal (403) when the path leaves the root, by its text or through a link, or is hidden
 */
export async function contain(root: string, path: string): Promise<string> {
  const parts = path.split('/').filter((part) => part !== '');
  // A backslash or a colon means something else on each system, so neither is let in anywhere.
  const bad = parts.find((part) => part.startsWith('.') || /[\\:\0]/.test(part));
  if (bad !== undefined)
    throw new Refusal(
      403,
      `"${path}" is outside of the work folder or hidden: ask for a plain name.`,
    );
  const home = await realpath(root);
  const place = join(home, ...parts);
  const real = await realOf(place);
  if (real !== home && !real.startsWith(home.endsWith(sep) ? home : home + sep))
    throw new Refusal(
      403,
      `"${path}" leads out of the work folder: only files inside it are served.`,
    );
  return real;
}

/** Like realpath, but of a file that may not be there yet: then its folder counts. */
async function realOf(place: string): Promise<string> {
  try {
    return await realpath(place);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ELOOP') throw new Refusal(403, 'A link that leads to itself is not followed.');
    if (code !== 'ENOENT') throw error;
    const link = await lstat(place).then(
      (found) => found.isSymbolicLink(),
      () => false,
    );
    if (link) throw new Refusal(403, 'A link that leads nowhere is not followed.');
    const folder = dirname(place);
    if (folder === place) throw error;
    return join(await realOf(folder), place.slice(folder.length).replace(/^[\\/]/, ''));
  }
}
