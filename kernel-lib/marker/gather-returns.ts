import { lstatSync, readdirSync, readFileSync, type Stats, statSync } from 'node:fs';
import { basename, sep } from 'node:path';
import { type TypeScript, ts } from '../kernel/typescript';
import { type CameAlong, companionsOf } from '../marking/companions';
import {
  type FoundReturn,
  identifiedAs,
  identify,
  mostWritten,
  studentsInName,
  workOnly,
  writtenText,
} from '../marking/found-return';
import {
  classArchives,
  handInTimes,
  packedTogether,
  type TimeRules,
} from '../marking/hand-in-time';
import { gatheredRows, type NotMarked, withCompanions } from '../marking/not-marked';
import type { Owners } from '../marking/owners';
import {
  isLitter,
  isZip,
  knownKind,
  labelOf,
  leftBySystem,
  notNotebook,
  type Refused,
  type ReturnedFile,
  unpack,
  unpackLimits,
} from '../marking/unpack';
import {
  type Notebook,
  NotebookError,
  sheetOf,
  sourceOf,
  studentNumberCell,
  tagOf,
  takesWork,
  withIdsOf,
} from '../notebook/notebook';
import { readNotebook } from '../notebook/read-notebook';
import { sampleStudent } from '../questions/student-number';
import { isBesideName, namesInCells, tooMuch } from '../travels/files-beside';
import { digestOf, type SheetToMark } from './sheets-to-mark';

/** A return of a sheet, before it is told whose it is. */
interface ReadReturn extends Pick<ReturnedFile, 'path' | 'time' | 'archive'> {
  readonly sheet: string;
  /** The student number that its code gives; '' for none. */
  readonly typed: string;
  readonly flags: readonly string[];
  readonly text: string;
  readonly digest: string;
  /** Names of files in its cells. */
  readonly names: readonly string[];
}

/** What is known beside the returns themselves. */
interface GatherRules extends Omit<TimeRules, 'whole'> {
  readonly sheets: ReadonlyMap<string, SheetToMark>;
  readonly roster: ReadonlySet<string> | undefined;
  /** Keep a file that a return's cells may read; gives the digest by which it is found again. None are kept unless given. */
  readonly keep?: (bytes: Uint8Array) => string;
  /** What a person said of files, by path. */
  readonly owners?: Owners;
  /** Students may hand in together, their numbers joined by `+` in a name. */
  readonly groups?: boolean;
}

/**
 * Look at all that came back, one file after the other, and keep what students wrote. Whatever goes wrong with a file
 * is told of that file.
 *
 * @param path a folder, a zip, or one notebook
 */
export function gatherReturns(
  path: string,
  rules: GatherRules,
): { found: FoundReturn[]; notMarked: NotMarked[] } {
  const { sheets, roster, keep, owners = new Map() as Owners, groups = false } = rules;
  const read: ReadReturn[] = [];
  const along: { readonly came: CameAlong; readonly row: string }[] = [];
  const aside: NotMarked[] = [];
  const labels = new Map<string, number>();

  /** Two files may have one name in an archive, or one label: each has a row of its own. */
  function labelled(file: ReturnedFile): ReturnedFile {
    const n = (labels.get(file.path) ?? 0) + 1;
    labels.set(file.path, n);
    return n === 1 ? file : { ...file, path: `${file.path} (${n})` };
  }

  /** A picture or a table may have come with a notebook; whose it is can be told when all were looked at. */
  function noteAlong({ path: place, bytes }: ReturnedFile, row: string, reason: string): void {
    const name = place.slice(place.lastIndexOf('/') + 1);
    const isData = /\.(?!ipynb$)\w+$/i.test(name) && isBesideName(name.replace(/[^\w.]/g, '_'));
    if (!keep || !isData || !/^(?:not a notebook|too large)$/.test(reason)) return;
    const problem = tooMuch({ name, size: bytes.length });
    const digest = problem === undefined ? keep(bytes) : '';
    const file = { path: place, name, size: bytes.length, digest };
    along.push({ came: problem === undefined ? file : { ...file, problem }, row });
  }

  function look(found: ReturnedFile): void {
    const file = labelled(found);
    const archive = file.archive?.path;
    const told = { path: file.path, ...(archive === undefined ? {} : { archive }) };
    const said = owners.get(file.path);
    if (said && said.student === undefined) {
      aside.push({ ...told, reason: 'left out', why: `Left out by a person: ${said.reason}` });
      return;
    }
    try {
      const one = readReturn(file, sheets);
      if (!('reason' in one)) read.push(one);
      else {
        aside.push({ ...told, ...one });
        noteAlong(found, file.path, one.reason);
      }
    } catch (error) {
      const isKnown = error instanceof NotebookError;
      if (isKnown) noteAlong(found, file.path, 'not a notebook');
      aside.push({
        ...told,
        reason: isKnown ? 'not a notebook' : 'cannot be read',
        why: isKnown ? error.message : `It cannot be read: ${(error as Error).message}.`,
      });
    }
  }

  for (const file of filesUnder(path, (one) => aside.push(one))) {
    if (!isZip(file.bytes)) {
      look(file);
      continue;
    }
    const refuse = (one: Refused) => aside.push({ ...one, archive: file.path });
    try {
      for (const one of unpack(file, refuse)) look(one);
    } catch (error) {
      const why = `The archive cannot be read: ${(error as Error).message}.`;
      refuse({ path: file.path, reason: 'cannot be read', why });
    }
  }

  const typed = read.map((one) => one.typed);
  const isNumber = (one: string) => /^\d{4,10}$/.test(one) && one !== sampleStudent;
  const inNames = roster ?? new Set(typed.filter(isNumber));
  const whole = statSync(path).isDirectory() ? undefined : labelOf(basename(path));
  const told = read.flatMap((one) => {
    const said = owners.get(one.path);
    const identity =
      said?.student === undefined
        ? identify(one.path, one.typed, { ...(roster ? { roster } : {}), inNames, groups })
        : identifiedAs(said.student, said.reason, one.typed, roster);
    if (!('reason' in identity)) return [{ one, identity, student: identity.student }];
    aside.push({ ...identity, path: one.path, ...archiveOf(one) });
    return [];
  });
  const arrived = told.map(({ one, student }) => ({ ...one, student }));
  const { withReturns, taken } = companionsOf(
    along.map(({ came }) => came),
    arrived,
  );
  const times = handInTimes(arrived, { ...rules, ...(whole === undefined ? {} : { whole }) });
  const withOthers = packedTogether(arrived, whole);
  const found = told.flatMap(({ one, identity }, i): FoundReturn[] => {
    const { path: place, sheet, text } = one;
    const { files, says } = withReturns[i];
    const flags = [...one.flags, ...says];
    const digest =
      files.length === 0
        ? one.digest
        : digestOf(one.digest, ...files.flatMap((file) => [file.name, file.digest]));
    return ofEach({
      ...{ path: place, sheet, text, digest, ...identity, ...times[i] },
      ...(withOthers(one) ? { namesAnother: true } : {}),
      ...(files.length > 0 ? { files } : {}),
      ...(flags.length > 0 ? { flags } : {}),
    });
  });
  const isOfClass = classArchives(arrived, whole);
  const rows = gatheredRows(
    withCompanions(
      aside.map((one) => ({ ...one, ...studentIn(one.path, inNames) })),
      arrived,
      new Set(along.filter(({ came }) => taken.has(came.path)).map(({ row }) => row)),
    ),
    (archive) => archive === whole || isOfClass(archive),
  );
  return { found, notMarked: rows };
}

/** A group's return is one for each of the group; what a student handed in alone comes before it. */
function ofEach(one: FoundReturn): FoundReturn[] {
  const { student: drawnFor, path, group = [drawnFor] } = one;
  return group.map((student) =>
    student === drawnFor
      ? one
      : { ...one, student, drawnFor, path: `${path} (also of ${student})`, namesAnother: true },
  );
}

const archiveOf = ({ archive }: ReadReturn) => (archive ? { archive: archive.path } : {});

function studentIn(path: string, numbers: ReadonlySet<string>): { student?: string } {
  const [student, ...others] = studentsInName(path, numbers);
  return student !== undefined && others.length === 0 ? { student } : {};
}

function readReturn(
  { path, bytes, time, archive }: ReturnedFile,
  sheets: ReadonlyMap<string, SheetToMark>,
): ReadReturn | Pick<NotMarked, 'reason' | 'why'> {
  if (bytes.length > unpackLimits.file) {
    const size = (bytes.length / 2 ** 20).toFixed(0);
    const why = `It has ${size} MB; up to ${unpackLimits.file / 2 ** 20} MB are looked at. Ask for it without outputs.`;
    return { reason: 'too large', why };
  }
  const kind = knownKind(bytes);
  if (kind) return { reason: 'not a notebook', why: notNotebook(kind) };
  const whole = readNotebook(textOf(bytes));
  const sheet = sheetOf(whole);
  const known = sheet === undefined ? undefined : sheets.get(sheet);
  if (sheet === undefined || !known) return wrongSheet(sheet, sheets);
  const laid = withIdsOf(known.original, whole);
  const text = writtenText(workOnly(known.original, laid));
  if (text.length > mostWritten) {
    const why = `${text.length} characters stand in its cells; no sheet asks for more than ${mostWritten}.`;
    return { reason: 'too large', why };
  }
  const cell = laid.cells.find(({ id }) => id === studentNumberCell);
  return {
    path,
    ...(time === undefined ? {} : { time }),
    ...(archive === undefined ? {} : { archive }),
    sheet,
    typed: (cell && numberInCode(sourceOf(cell))?.value) ?? '',
    flags: missingAnswers(known.original, laid),
    text,
    digest: digestOf(text),
    names: namesInCells(laid.cells),
  };
}

/** UTF-8, or UTF-16 where the first two bytes say so: some programs of Windows save that. */
function textOf(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  return new TextDecoder().decode(bytes);
}

function wrongSheet(sheet: string | undefined, sheets: ReadonlyMap<string, unknown>) {
  const what =
    sheet === undefined ? 'carries no sheet’s marks' : `is of the sheet "${sheet.slice(0, 100)}"`;
  const why = `The notebook ${what}; marked are ${[...sheets.keys()].join(', ')}.`;
  return { reason: 'wrong sheet', why } as const;
}

/** Cells that a student was to answer in and that are no longer there. */
function missingAnswers(sheet: Notebook, returned: Notebook): string[] {
  const there = new Set(returned.cells.map(({ id }) => id));
  const gone = sheet.cells.flatMap((cell) => {
    const question = tagOf(cell)?.question;
    return takesWork(cell) && question !== undefined && !there.has(cell.id) ? [question] : [];
  });
  if (gone.length === 0) return [];
  const cells = gone.length === 1 ? 'The answer cell of' : 'The answer cells of';
  return [
    `${cells} ${[...new Set(gone)].join(', ')} ${gone.length === 1 ? 'was' : 'were'} deleted.`,
  ];
}

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
function* filesUnder(path: string, refuse: (one: Refused) => void): Generator<ReturnedFile> {
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
    const fileName = nameOf(name);
    const at = labelOf(label ? `${label}/${fileName}` : fileName);
    if (isLitter(fileName)) refuse(leftBySystem(at));
    else yield* look(inside(path, name), at, undefined, refuse);
  }
}

/** The student number as it stands in the code of its cell. */
interface NumberInCode {
  /** What the code makes `studentNumber`, as text. */
  readonly value: string;
  /** Where each value that it is given stands, first and last character of the source. */
  readonly places: readonly { readonly start: number; readonly end: number }[];
  /** Nothing else is done in the cell. */
  readonly isAlone: boolean;
}

const isNumber = (node: TypeScript.Node) => ts.isIdentifier(node) && node.text === 'studentNumber';

/** What a statement gives the student number, if it does. */
function given(statement: TypeScript.Statement): TypeScript.Expression | undefined {
  if (ts.isVariableStatement(statement)) {
    const declared = statement.declarationList.declarations.filter(({ name }) => isNumber(name));
    return declared.at(-1)?.initializer;
  }
  if (!ts.isExpressionStatement(statement)) return undefined;
  const { expression } = statement;
  return ts.isBinaryExpression(expression) &&
    expression.operatorToken.kind === ts.SyntaxKind.EqualsToken &&
    isNumber(expression.left)
    ? expression.right
    : undefined;
}

/**
 * Read the student number from the code by the compiler's syntax tree: what stands in a comment or in a text is none.
 * Nothing is run. The last statement that gives it counts, as it would in a run.
 *
 * @returns undefined where no statement gives it a plain text or number
 */
export function numberInCode(source: string): NumberInCode | undefined {
  const file = ts.createSourceFile('number.ts', source, ts.ScriptTarget.Latest, false);
  const values = file.statements.flatMap((statement) => given(statement) ?? []);
  const last = values.at(-1);
  if (!last || !(ts.isStringLiteralLike(last) || ts.isNumericLiteral(last))) return undefined;
  const isPlain = ({ kind }: TypeScript.Statement) => kind === ts.SyntaxKind.EmptyStatement;
  return {
    value: last.text.trim(),
    places: values.map(({ pos, end }) => ({ start: pos, end })),
    isAlone: file.statements.filter((one) => !isPlain(one)).length === 1,
  };
}
