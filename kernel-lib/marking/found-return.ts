import {
  type Cell,
  type Notebook,
  originalWithWork,
  sourceOf,
  studentNumberCell,
  tagOf,
  takesWork,
} from '../notebook/notebook';
import { sampleStudent } from '../questions/student-number';
import type { FileWith } from '../travels/files-beside';
import type { HandInTime } from './hand-in-time';

/** A return whose student and sheet are known, without what is not looked at again: outputs, metadata. */
export interface FoundReturn extends HandInTime {
  readonly path: string;
  readonly student: string;
  readonly sheet: string;
  readonly note?: string;
  /** The file's name says another student than the notebook, or the number was guessed. */
  readonly namesAnother?: boolean;
  /** Everybody whose return it is, where several handed in one file. */
  readonly group?: readonly string[];
  /** The student whose numbers stand in it, where that is another of the group. */
  readonly drawnFor?: string;
  /** A number of nobody's that stands in the notebook: the return is judged with it, too. */
  readonly typed?: string;
  /** What a person should know of it, beside whose it is. */
  readonly flags?: readonly string[];
  /** What the student wrote, as `writtenText` packs it: a class of thousands must fit into memory. */
  readonly text: string;
  /** Pictures and tables that came with it. */
  readonly files?: readonly FileWith[];
  /** Digest of that text, and of the files. */
  readonly digest: string;
}

/** Longest text of one return, UTF-16 units: several hundred times what a sheet asks for. */
export const mostWritten = 500_000;

/** What the student wrote, laid out as the original is. */
export function workOnly(original: Notebook, returned: Notebook): Notebook {
  const theirs = new Map(original.cells.map((cell) => [cell.id, cell]));
  const cells = returned.cells.map((cell): Cell => {
    const returnedCell = theirs.get(cell.id);
    return bareCell([
      cell.id,
      cell.cell_type,
      returnedCell && !takesWork(returnedCell) ? '' : sourceOf(cell),
    ]);
  });
  return { nbformat: 4, nbformat_minor: 5, metadata: {}, cells };
}

/** All that counts of a return, packed: two returns with the same text get the same marks. */
export function writtenText({ cells }: Notebook): string {
  return JSON.stringify(cells.map((cell) => [cell.id, cell.cell_type, sourceOf(cell)]));
}

/** The notebook that `writtenText` packed. */
export function notebookFrom(text: string): Notebook {
  const cells = (JSON.parse(text) as [string, Cell['cell_type'], string][]).map(bareCell);
  return { nbformat: 4, nbformat_minor: 5, metadata: {}, cells };
}

const bareCell = ([id, cell_type, source]: readonly [string, Cell['cell_type'], string]): Cell =>
  cell_type === 'code'
    ? { id, cell_type, source, metadata: {}, outputs: [], execution_count: null }
    : { id, cell_type, source, metadata: {} };

/** Where the code of the cell with the student number gives that number. */
type FindNumber = (
  source: string,
) => { readonly places: readonly { start: number; end: number }[]; isAlone: boolean } | undefined;

/** The cell with the student number, so that it reads `slot` instead: one text for all students. */
function numberCell(source: string, slot: string, find: FindNumber): string {
  const value = `(globalThis as any)[Symbol.for('${slot}')]`;
  const found = find(source);
  if (!found || found.isAlone) return `const studentNumber: string = ${value};`;
  return found.places.reduceRight(
    (text, { start, end }) => `${text.slice(0, start)} (${value} as string)${text.slice(end)}`,
    source,
  );
}

interface CellToRun {
  readonly id: string;
  readonly source: string;
  readonly isAnswer: boolean;
  /** The student's: their work or a cell of their own. */
  readonly isOwn: boolean;
}

/** The code cells to run: text, givens and answer cells from the original, work and own cells from the return. */
export function cellsToRun(
  original: Notebook,
  returned: Notebook,
  slot: string,
  find: FindNumber,
): CellToRun[] {
  return originalWithWork(original, returned).cells.flatMap((cell) => {
    if (cell.cell_type !== 'code') return [];
    const role = cell.metadata.multislit?.role;
    const isAnswer = role === 'answer';
    const isOwn = role !== 'answer' && role !== 'given';
    const source = sourceOf(cell);
    const isNumber = cell.id === studentNumberCell;
    return [
      { id: cell.id, source: isNumber ? numberCell(source, slot, find) : source, isAnswer, isOwn },
    ];
  });
}

/** Longest answer that is kept for a person to read, UTF-16 units: some ten pages. */
const longest = 20_000;

/** Texts of the student's own, by the question whose cells they stand under. */
function notesUnder(original: Notebook, returned: Notebook): Map<string, string[]> {
  const ours = new Map(original.cells.map((cell) => [cell.id, tagOf(cell)?.question]));
  const notes = new Map<string, string[]>();
  let question: string | undefined;
  for (const cell of returned.cells) {
    if (ours.has(cell.id)) question = ours.get(cell.id);
    else if (cell.cell_type !== 'code' && question !== undefined) {
      const text = sourceOf(cell).trim();
      if (text !== '') notes.set(question, [...(notes.get(question) ?? []), text]);
    }
  }
  return notes;
}

const noteHead = '[Note under the question]';

/**
 * What a student wrote for a person to read, by question; left out where nothing was. Texts that the student added under
 * the question are part of it.
 */
export function writtenAnswers(original: Notebook, returned: Notebook): Record<string, string> {
  const theirs = new Map(returned.cells.map((cell) => [cell.id, cell]));
  const notes = notesUnder(original, returned);
  const found = original.cells.flatMap((cell) => {
    const tag = tagOf(cell);
    if (tag?.role !== 'written' || tag.question === undefined) return [];
    const answer = theirs.get(cell.id);
    const written = answer ? sourceOf(answer).trim() : '';
    const changed = written === sourceOf(cell).trim() ? '' : written;
    const under = (notes.get(tag.question) ?? []).map((note) => `${noteHead}\n${note}`);
    const text = [changed, ...under].filter((part) => part !== '').join('\n\n');
    return text === '' ? [] : [[tag.question, text.slice(0, longest)] as const];
  });
  return Object.fromEntries(found);
}

/** Whose return it is; or why that cannot be told. */
type Identity =
  | {
      readonly student: string;
      readonly note?: string;
      /** The name of file or folder says another student, or the number was guessed: others count before this. */
      readonly namesAnother?: true;
      /** A number of nobody's that stands in the notebook: its work may be right for that number's givens. */
      readonly typed?: string;
      /** All of the group that handed it in together, the student among them. */
      readonly group?: readonly string[];
    }
  | { readonly reason: 'unknown student'; readonly why: string };

/** What is known before a return is told. */
interface KnownStudents {
  /** Without a roster any well-formed number is taken. */
  readonly roster?: ReadonlySet<string>;
  /** Numbers that mean a student where they stand in a name: the roster's, else those that stand in notebooks. */
  readonly inNames: ReadonlySet<string>;
  /** Numbers joined by `+` in the name of the file or a folder are a group that hands in together. */
  readonly groups?: boolean;
}

const digits = /^\d{4,10}$/;

/** Students' numbers in a path, each once. */
export function studentsInName(path: string, known: ReadonlySet<string>): string[] {
  const found = path.match(/\d{4,10}/g) ?? [];
  return [...new Set(found.filter((number) => known.has(number)))];
}

/** The students of a group, as the innermost name with numbers joined by `+` tells them, such as `204117+300007.ipynb`. */
function groupInName(path: string, known: ReadonlySet<string>): string[] | undefined {
  for (const name of path.split('/').reverse())
    for (const [joined] of name.matchAll(/(?<!\d)\d{4,10}(?:\s*\+\s*\d{4,10})+(?!\d)/g)) {
      const numbers = [...new Set(joined.split(/\s*\+\s*/))];
      if (numbers.length > 1 && numbers.every((number) => known.has(number))) return numbers;
    }
  return undefined;
}

/** A number with what people type around it: blanks, points, dashes, letters in front. */
function bare(typed: string): string | undefined {
  const number = /^[a-z]{0,3}(\d{4,10})$/i.exec(typed.replace(/[\s._-]/g, ''))?.[1];
  return number === sampleStudent ? undefined : number;
}

/**
 * Whose return a notebook is: by the number in it, else by a number in the name of the file or a folder around it, else
 * by a number of the roster that is one slip from the one that was typed.
 *
 * @param typed what stands in the notebook's code as student number; '' for nothing
 */
export function identify(
  path: string,
  typed: string,
  { roster, inNames, groups = false }: KnownStudents,
): Identity {
  const named = studentsInName(path, inNames);
  const stated = bare(typed);
  const group = groups ? groupInName(path, inNames) : undefined;
  if (group && (stated === undefined || group.includes(stated))) {
    const student = stated ?? group[0];
    const note = `Handed in together by ${group.join(', ')}; the numbers in it are those of ${student}.`;
    return { student, note, group };
  }
  const said = stated === undefined && typed !== '' && typed !== sampleStudent ? cut(typed) : typed;
  if (stated !== undefined && (!roster || roster.has(stated))) {
    const other = named.includes(stated) ? undefined : named[0];
    const odd = digits.test(typed.trim())
      ? ''
      : `The notebook says "${cut(typed)}"; ${stated} was taken.`;
    const note = other
      ? `The notebook says ${stated}, the file's name says ${other}; ${stated} was taken.`
      : odd;
    return { student: stated, ...(note ? { note } : {}), ...(other ? { namesAnother: true } : {}) };
  }
  if (named.length === 1 && roster) {
    const [student] = named;
    if (stated === undefined) {
      const carries = typed === '' || typed === sampleStudent ? 'no number' : `"${said}"`;
      return {
        student,
        note: `The notebook carries ${carries}; ${student} comes from the file's name.`,
      };
    }
    const note = `The notebook says ${stated}, which nobody of the roster has; ${student} comes from the file's name and was taken.`;
    return { student, note, typed: stated };
  }
  const near =
    stated !== undefined && named.length === 0
      ? [...(roster ?? [])].filter((number) => isOneSlip(number, stated))
      : [];
  if (stated !== undefined && near.length === 1) {
    const note = `The notebook says ${stated}, which nobody of the roster has; ${near[0]} is one slip from it and was taken.`;
    return { student: near[0], note, typed: stated, namesAnother: true };
  }
  return {
    reason: 'unknown student',
    why: whyUnknown(stated, { named, near }, roster !== undefined),
  };
}

/**
 * Whose return it is where a person said so.
 *
 * @param typed what stands in the notebook's code as student number
 */
export function identifiedAs(
  student: string,
  reason: string,
  typed: string,
  roster: ReadonlySet<string> | undefined,
): Identity {
  const stated = bare(typed);
  const isNobodys = stated !== undefined && stated !== student && !roster?.has(stated);
  const says = stated === undefined || stated === student ? '' : ` The notebook says ${stated}.`;
  const note = `A person said that this is of ${student}: ${reason}${says}`;
  return { student, note, ...(isNobodys ? { typed: stated } : {}) };
}

/** True where a note of `identify` says that notebook, name and roster do not agree on whose it is. */
export const isDisputed = (note: string): boolean =>
  / says \S+, (?:the file's name says|which nobody of the roster has)/.test(note);

const cut = (text: string) => text.slice(0, 20);

function whyUnknown(
  own: string | undefined,
  { named, near }: { named: readonly string[]; near: readonly string[] },
  hasRoster: boolean,
): string {
  if (named.length > 1)
    return `The file's name carries several students: ${named.join(', ').slice(0, 200)}.`;
  const like = near.length === 0 ? '' : ` One slip from it are ${near.slice(0, 5).join(', ')}.`;
  if (own !== undefined) return `The student number ${own} is not in the roster.${like}`;
  const where = hasRoster
    ? 'nor does the file’s name'
    : 'and there is no roster to look in names for';
  return `The notebook carries no student number of its own, ${where}.`;
}

/**
 * True when two numbers differ by one slip of the fingers: a digit changed, left out or doubled in, or two neighbours
 * exchanged (the four kinds that Damerau counted; from memory).
 *
 * @example isOneSlip('204117', '204171') // true
 */
function isOneSlip(a: string, b: string): boolean {
  if (a === b || Math.abs(a.length - b.length) > 1) return false;
  let i = 0;
  while (i < a.length && a[i] === b[i]) i += 1;
  const [restA, restB] = [a.slice(i), b.slice(i)];
  if (a.length > b.length) return restA.slice(1) === restB;
  if (a.length < b.length) return restA === restB.slice(1);
  const isExchanged =
    restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2);
  return restA.slice(1) === restB.slice(1) || isExchanged;
}
