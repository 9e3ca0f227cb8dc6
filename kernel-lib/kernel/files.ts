import {
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import { type Notebook, NotebookError } from '../notebook/notebook';
import { readNotebook } from '../notebook/read-notebook';

/** What the system said, in words for a person. */
export function plainly(error: NodeJS.ErrnoException): string {
  const sentences: Record<string, string> = {
    ENOENT: 'it is not there',
    EACCES: 'this account may not use it',
    EPERM:
      process.platform === 'win32'
        ? 'this account may not use it, or another program has it open (a spreadsheet?); close it there and try again'
        : 'this account may not use it',
    EBUSY: 'another program has it open (a spreadsheet?); close it there and try again',
    EROFS: 'the disk cannot be written',
    ENOSPC: 'the disk is full',
    EDQUOT: 'this account may not keep more on this disk',
    EFBIG: 'the disk takes no more of it',
    EISDIR: 'it is a folder, a file was expected',
    ENOTDIR: 'a part of the path is a file, not a folder',
  };
  return sentences[error.code ?? ''] ?? error.message;
}

/** Read a notebook file. @throws Error with one sentence that names the file */
export function readNotebookFile(path: string): Notebook {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    throw new Error(`${path} cannot be read: ${plainly(error as NodeJS.ErrnoException)}.`);
  }
  try {
    return readNotebook(text);
  } catch (error) {
    if (!(error instanceof NotebookError)) throw error;
    throw new Error(`${path}: ${error.message}`);
  }
}

/** Refuse a place that cannot take a file, before any work is done for it. */
export function requireWritable(path: string): void {
  const folder = dirname(path);
  if (!existsSync(folder)) {
    throw new Error(`${path} cannot be written: there is no folder ${folder}. Make it first.`);
  }
  if (existsSync(path) && statSync(path).isDirectory()) {
    throw new Error(`${path} is a folder; name the file to write.`);
  }
}

let isHeard = false;

/**
 * Where a system lets an account's files grow to a bound only, it sends a signal before it refuses, and the writer of whole
 * files would end the program at it, unless somebody else listens.
 */
function hearBound(): void {
  if (isHeard || process.platform === 'win32') return;
  isHeard = true;
  process.on('SIGXFSZ', () => {});
}

/**
 * Write a whole file or nothing, as `writeWhole` does, with the system's own error where it cannot be.
 *
 * write-file-atomic writes once and does not look how much was taken: on a disk that is nearly full a part of the file would
 * take the place of the old one. So all of it is written into the new file before, by what goes on until it is all there.
 */
export async function replaceFile(path: string, content: string | Uint8Array): Promise<void> {
  hearBound();
  const bytes = Buffer.from(content as Uint8Array);
  const tmpfileCreated = (made: string) => writeFile(made, bytes);
  await writeFileAtomic(path, bytes, { tmpfileCreated });
}

/** Write a whole file or nothing: a file beside it takes its place when complete. */
export async function writeWhole(path: string, content: string | Uint8Array): Promise<void> {
  try {
    await replaceFile(path, content);
  } catch (error) {
    const why = plainly(error as NodeJS.ErrnoException);
    throw new Error(`${path} cannot be written: ${why}. What stood there is untouched.`);
  }
}

/** Enough for one write to the disk, UTF-16 units. */
const enough = 65_536;

/**
 * Write all of a piece: on a disk that is nearly full the system may take a part of it and say nothing.
 *
 * @param at where in the file, bytes; where it stands unless given
 */
export function writeAll(file: number, piece: string, at: number | null = null): void {
  const bytes = Buffer.from(piece);
  for (let done = 0; done < bytes.length; )
    done += writeSync(file, bytes, done, bytes.length - done, at === null ? null : at + done);
}

/** Write a file of any length part by part; as `writeWhole`, it takes its place when complete. */
export function writeInParts(path: string, parts: Iterable<string>): void {
  const unfinished = `${path}.${process.pid}`;
  let file: number | undefined;
  try {
    file = openSync(unfinished, 'w');
    let waiting = '';
    for (const part of parts) {
      waiting += part;
      if (waiting.length < enough) continue;
      writeAll(file, waiting);
      waiting = '';
    }
    writeAll(file, waiting);
    fsyncSync(file);
    closeSync(file);
    file = undefined;
    renameSync(unfinished, path);
  } catch (error) {
    if (file !== undefined) closeSync(file);
    rmSync(unfinished, { force: true });
    const why = plainly(error as NodeJS.ErrnoException);
    throw new Error(`${path} cannot be written: ${why}. What stood there is untouched.`);
  }
}
