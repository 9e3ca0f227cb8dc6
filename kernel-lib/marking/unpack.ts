import { unzipSync } from 'fflate';
import { zipTimes } from './zip-times';

/** One file that came back, wherever it lay: in a folder, in a zip, in a zip inside a zip. */
export interface ReturnedFile {
  /** Where it lay, with `/`; parts inside an archive follow the archive's own name. Only ever read, never written to. */
  readonly path: string;
  readonly bytes: Uint8Array;
  /** When it was saved, ms since 1970, where that is known. */
  readonly time?: number;
}

/** A file that could not be looked at, and why, in one sentence. */
export interface Refused {
  readonly path: string;
  readonly why: string;
}

/** Bounds that keep a harmful archive from filling memory. Sizes in bytes. */
export interface UnpackLimits {
  readonly file: number;
  readonly archive: number;
  readonly entries: number;
  readonly depth: number;
}

export const unpackLimits: UnpackLimits = {
  file: 20 * 2 ** 20,
  archive: 200 * 2 ** 20,
  entries: 5000,
  depth: 3,
};

const megabytes = (bytes: number) => `${(bytes / 2 ** 20).toFixed(0)} MB`;

/** True for a file that begins as a zip does, whatever its name. */
export function isZip(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b && (bytes[2] === 3 || bytes[2] === 5);
}

/** Files that systems leave beside people's own and that are no returns. */
export function isLitter(path: string): boolean {
  return path
    .split('/')
    .some(
      (part) =>
        /^\.[^.]/.test(part) || part === '__MACOSX' || /^(thumbs\.db|desktop\.ini)$/i.test(part),
    );
}

/**
 * All files in an archive, and in archives inside it.
 *
 * Nothing is written anywhere: an entry's path is only a label, so `../` and links in it reach nothing.
 * Times are those kept in the archive: its own says only when it was packed.
 * Sizes are bounded by what the archive declares; an entry that unpacks to more than it declared is cut there.
 */
export function unpack(
  archive: ReturnedFile,
  limits: UnpackLimits = unpackLimits,
): { files: ReturnedFile[]; refused: Refused[] } {
  const files: ReturnedFile[] = [];
  const refused: Refused[] = [];
  const left = { bytes: limits.archive, entries: limits.entries };
  open(archive, 1);
  return { files, refused };

  function open({ path, bytes }: ReturnedFile, depth: number): void {
    let inside: Record<string, Uint8Array>;
    try {
      inside = unzipSync(bytes, { filter: (entry) => wanted(path, entry) });
    } catch (error) {
      const why = `The archive is damaged (${(error as Error).message}). Ask for it again.`;
      refused.push({ path, why });
      return;
    }
    const times = zipTimes(bytes);
    for (const [name, content] of Object.entries(inside)) {
      const time = times.get(name);
      const label = `${path}/${name.replaceAll('\\', '/')}`;
      const file = { path: label, bytes: content, ...(time === undefined ? {} : { time }) };
      if (!isZip(content)) files.push(file);
      else if (depth < limits.depth) open(file, depth + 1);
      else refused.push({ path: file.path, why: 'Archives inside archives lie too deep here.' });
    }
  }

  function wanted(path: string, entry: { name: string; originalSize: number }): boolean {
    if (entry.name.endsWith('/') || isLitter(entry.name)) return false;
    const label = `${path}/${entry.name}`;
    if (entry.originalSize > limits.file) {
      const size = megabytes(entry.originalSize);
      const why = `The file unpacks to ${size}; up to ${megabytes(limits.file)} are looked at.`;
      refused.push({ path: label, why });
      return false;
    }
    left.bytes -= entry.originalSize;
    left.entries -= 1;
    if (left.bytes < 0 || left.entries < 0) {
      refused.push({ path: label, why: 'The archive holds more than is looked at; split it.' });
      return false;
    }
    return true;
  }
}
