import { lstatSync, readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { type FoundReturn, mostWritten, workOnly, writtenText } from '../../marking/found-return';
import { type Class, identify } from '../../marking/identify';
import {
  isLitter,
  isZip,
  type Refused,
  type ReturnedFile,
  unpack,
  unpackLimits,
} from '../../marking/unpack';
import { NotebookError } from '../../notebook/notebook';
import { readNotebook } from '../../notebook/read';
import { digestOf, type SheetToMark } from './sheets-to-mark';

/** A file that is not marked, and why. */
export interface NotMarked {
  readonly path: string;
  readonly reason:
    | 'cannot be read'
    | 'not a notebook'
    | 'wrong sheet'
    | 'unknown student'
    | 'too large';
  readonly why: string;
}

const code = (error: unknown) => (error as NodeJS.ErrnoException).code ?? 'unknown';

/** Every file under a path, one at a time; links and devices are told, not followed. */
function* filesUnder(
  path: string,
  label: string,
  refuse: (one: Refused) => void,
): Generator<ReturnedFile> {
  try {
    const info = lstatSync(path);
    if (info.isDirectory()) {
      for (const name of readdirSync(path).sort())
        if (!isLitter(name))
          yield* filesUnder(join(path, name), label ? `${label}/${name}` : name, refuse);
    } else if (info.isSymbolicLink())
      refuse({ path: label, why: 'It is a link; links are not followed.' });
    else if (!info.isFile()) refuse({ path: label, why: 'It is no ordinary file.' });
    else if (info.size > unpackLimits.archive)
      refuse({
        path: label,
        why: `It has ${(info.size / 2 ** 20).toFixed(0)} MB; that is too large.`,
      });
    else yield { path: label, bytes: readFileSync(path), time: Math.floor(info.mtimeMs) };
  } catch (error) {
    refuse({ path: label, why: `It cannot be read (${code(error)}).` });
  }
}

/**
 * Look at all that came back, one file after the other, and keep what students wrote.
 *
 * @param path a folder, a zip, or one notebook
 */
export function gatherReturns(
  path: string,
  sheets: ReadonlyMap<string, SheetToMark>,
  roster: ReadonlySet<string> | undefined,
): { found: FoundReturn[]; notMarked: NotMarked[] } {
  const found: FoundReturn[] = [];
  const notMarked: NotMarked[] = [];
  const known: Class = { sheets: new Set(sheets.keys()), ...(roster ? { roster } : {}) };
  const refuse = ({ path: label, why }: Refused) =>
    notMarked.push({ path: label, reason: 'cannot be read', why });

  function look(file: ReturnedFile): void {
    if (file.bytes.length > unpackLimits.file) {
      const size = (file.bytes.length / 2 ** 20).toFixed(0);
      const why = `It has ${size} MB; up to ${unpackLimits.file / 2 ** 20} MB are looked at. Ask for it without outputs.`;
      notMarked.push({ path: file.path, reason: 'too large', why });
      return;
    }
    try {
      const one = readReturn(file, known, sheets);
      if ('reason' in one) notMarked.push(one);
      else found.push(one);
    } catch (error) {
      if (!(error instanceof NotebookError)) throw error;
      notMarked.push({ path: file.path, reason: 'not a notebook', why: error.message });
    }
  }

  const label = lstatSync(path).isDirectory() ? '' : basename(path);
  for (const file of filesUnder(path, label, refuse)) {
    if (!isZip(file.bytes)) {
      look(file);
      continue;
    }
    const { files, refused } = unpack(file);
    for (const one of refused) refuse(one);
    for (const one of files) look(one);
  }
  return { found, notMarked };
}

function readReturn(
  { path, bytes, time }: ReturnedFile,
  known: Class,
  sheets: ReadonlyMap<string, SheetToMark>,
): FoundReturn | NotMarked {
  const whole = readNotebook(new TextDecoder().decode(bytes));
  const identity = identify(path, whole, known);
  if ('reason' in identity) return { path, ...identity };
  const { student, sheet, note, namesAnother } = identity;
  const { original } = sheets.get(sheet) as SheetToMark;
  const text = writtenText(workOnly(original, whole));
  if (text.length > mostWritten) {
    const why = `${text.length} characters stand in its cells; no sheet asks for more than ${mostWritten}.`;
    return { path, reason: 'too large', why };
  }
  return {
    path,
    ...(time === undefined ? {} : { time }),
    student,
    sheet,
    ...(note === undefined ? {} : { note }),
    ...(namesAnother ? { namesAnother } : {}),
    text,
    digest: digestOf(text),
  };
}
