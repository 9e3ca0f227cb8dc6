import {
  type Cell,
  type Notebook,
  originalWithWork,
  sourceOf,
  tagOf,
  takesWork,
} from '../notebook/notebook';

import { studentNumberCell } from '../notebook/student-number-cell';
import type { HandInTime } from './hand-in-time';

/** A return whose student and sheet are known, without what is not looked at again: outputs, metadata. */
export interface FoundReturn extends HandInTime {
  readonly path: string;
  readonly student: string;
  readonly sheet: string;
  readonly note?: string;
  /** The file's name says another student than the notebook, or the number was guessed. */
  readonly namesAnother?: boolean;
  /** A number of nobody's that stands in the notebook: the return is judged with it, too. */
  readonly typed?: string;
  /** What a person should know of it, beside whose it is. */
  readonly flags?: readonly string[];
  /** What the student wrote, as `writtenText` packs it: a class of thousands must fit into memory. */
  readonly text: string;
  /** Digest of that text. */
  readonly digest: string;
}

/** Longest text of one return, UTF-16 units: several hundred times what a sheet asks for. */
export const mostWritten = 500_000;

/** What the student wrote, laid out as the original is. */
export function workOnly(original: Notebook, returned: Notebook): Notebook {
  const theirs = new Map(original.cells.map((cell) => [cell.id, cell]));
  const cells = returned.cells.map((cell): Cell => {
    const own = theirs.get(cell.id);
    return bareCell([cell.id, cell.cell_type, own && !takesWork(own) ? '' : sourceOf(cell)]);
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
    const own = written === sourceOf(cell).trim() ? '' : written;
    const under = (notes.get(tag.question) ?? []).map((note) => `${noteHead}\n${note}`);
    const text = [own, ...under].filter((part) => part !== '').join('\n\n');
    return text === '' ? [] : [[tag.question, text.slice(0, longest)] as const];
  });
  return Object.fromEntries(found);
}
