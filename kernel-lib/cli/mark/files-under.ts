import { lstatSync, readdirSync, readFileSync, type Stats, statSync } from 'node:fs';
import { basename, sep } from 'node:path';
import { labelOf } from '../../marking/label';
import {
  isLitter,
  leftBySystem,
  type Refused,
  type ReturnedFile,
  unpackLimits,
} from '../../marking/unpack';

const code = (error: unknown) => (error as NodeJS.ErrnoException).code ?? 'unknown';

/** Names are bytes: one in an old encoding must still lead to its file. */
const inside = (folder: Buffer, name: Buffer) => Buffer.concat([folder, Buffer.from(sep), name]);

/** UTF-8 where it is that, else byte by byte, so that two names stay two. */
function nameOf(bytes: Buffer): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return bytes.toString('latin1');
  }
}

/** Latest time that a date can tell, ms since 1970 (ECMA-262); some disks keep later ones. */
const latest = 8.64e15;

const timeOf = ({ mtimeMs }: Stats) =>
  Math.abs(mtimeMs) <= latest ? { time: Math.floor(mtimeMs) } : {};

/** What a path is that cannot be read as a file. */
function whyNot(info: Stats): string | undefined {
  if (info.isSymbolicLink()) return 'It is a link; links are not followed.';
  if (info.isFIFO()) return 'It is a pipe, not a file.';
  if (info.isSocket()) return 'It is a socket, not a file.';
  if (!info.isFile()) return 'It is a device, not a file.';
  if (info.size > unpackLimits.archive)
    return `It has ${(info.size / 2 ** 20).toFixed(0)} MB; that is too large.`;
  return undefined;
}

/**
 * Every file under a path, one at a time; links, pipes and devices are told, not followed and not opened. The path itself
 * may be a link: whoever typed it meant what it leads to.
 */
export function* filesUnder(path: string, refuse: (one: Refused) => void): Generator<ReturnedFile> {
  const info = statSync(path);
  yield* look(Buffer.from(path), info.isDirectory() ? '' : labelOf(basename(path)), info, refuse);
}

function* look(
  path: Buffer,
  label: string,
  known: Stats | undefined,
  refuse: (one: Refused) => void,
): Generator<ReturnedFile> {
  let file: ReturnedFile | undefined;
  let names: Buffer[] = [];
  try {
    const info = known ?? lstatSync(path);
    if (info.isDirectory()) names = readdirSync(path, { encoding: 'buffer' }).sort(Buffer.compare);
    else {
      const why = whyNot(info);
      if (why) refuse({ path: label, reason: 'cannot be read', why });
      else file = { path: label, bytes: readFileSync(path), ...timeOf(info) };
    }
  } catch (error) {
    refuse({ path: label, reason: 'cannot be read', why: `It cannot be read (${code(error)}).` });
  }
  if (file) yield file;
  for (const name of names) {
    const own = nameOf(name);
    const at = labelOf(label ? `${label}/${own}` : own);
    if (isLitter(own)) refuse(leftBySystem(at));
    else yield* look(inside(path, name), at, undefined, refuse);
  }
}
