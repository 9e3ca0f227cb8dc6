import {
  type Cell,
  type CodeCell,
  isAdded,
  type Output,
  sourceOf,
  studentNumberCell,
  tagOf,
} from '../../notebook/notebook';
import { shortDigest } from '../../numerics/random';
import { stoppedName, verdictIn } from './outputs';

/** A stretch of the sheet: one question with all that belongs to it, or text between questions. */
export interface Part {
  readonly key: string;
  readonly question: string | undefined;
  readonly cells: readonly Cell[];
}

/** Cells of the same question that follow one another make one part; a cell of the student's own joins what it follows. */
export function partsOf(cells: readonly Cell[]): Part[] {
  const parts: { key: string; question: string | undefined; cells: Cell[] }[] = [];
  for (const cell of cells) {
    const tag = tagOf(cell);
    const last = parts.at(-1);
    if (last && (!tag || tag.question === last.question)) last.cells.push(cell);
    else parts.push({ key: cell.id, question: tag?.question, cells: [cell] });
  }
  return parts;
}

/** The working of a question: its work cells, and code of the student's own between them and above the answer. */
export function workCellsOf(cells: readonly Cell[], question: string): CodeCell[] {
  return partsOf(cells)
    .filter((part) => part.question === question)
    .flatMap((part) => {
      const answer = part.cells.findIndex((cell) => tagOf(cell)?.role === 'answer');
      return answer < 0 ? part.cells : part.cells.slice(0, answer);
    })
    .filter((cell) => cell.cell_type === 'code')
    .filter((cell) => isAdded(cell) || tagOf(cell)?.role === 'work');
}

/**
 * A short digest of the student number and the working of a question, to tell whether it is still what
 * was checked.
 */
export function digestOfWork(cells: readonly Cell[], question: string): string {
  const number = cells.filter(({ id }) => id === studentNumberCell);
  const text = [...number, ...workCellsOf(cells, question)].map(sourceOf).join('\n\u0000');
  return shortDigest(text, [1, 2]);
}

/** What the page keeps with a verdict, in the output's metadata under the one key `multislit`. */
interface KeptWithVerdict {
  readonly working?: unknown;
}

/** The outputs of a check with the digest of the working that they are about, so that it outlives the page. */
export function withWorking(outputs: readonly Output[], working: string): Output[] {
  return outputs.map((output) =>
    verdictIn(output) && 'metadata' in output
      ? { ...output, metadata: { ...output.metadata, multislit: { working } } }
      : output,
  );
}

/**
 * True when the working of a question is no longer what its verdict is about. A verdict that came by
 * another program says nothing of its working, and is taken as it is.
 */
export function isChangedSince(cells: readonly Cell[], question: string): boolean {
  const outputs = cells.flatMap((cell) => (cell.cell_type === 'code' ? cell.outputs : []));
  const last = outputs.findLast((output) => verdictIn(output)?.question === question);
  const kept =
    last && 'metadata' in last ? (last.metadata?.multislit as KeptWithVerdict) : undefined;
  const working = kept?.working;
  return typeof working === 'string' && working !== digestOfWork(cells, question);
}

/** Whether a cell of a question's working ended with an error when it last ran; one that was stopped has none. */
export const isFailing = (cells: readonly Cell[], question: string): boolean =>
  workCellsOf(cells, question).some(({ outputs }) =>
    outputs.some((output) => output.output_type === 'error' && output.ename !== stoppedName),
  );

/**
 * The cells above `id` that it stands on and that have not run as they are now: the givens always, and
 * for an answer the working of its own question, so that what is checked is what stands there.
 *
 * @param ran the cells run in this kernel, with the source each had
 */
export function needsFirst(
  cells: readonly Cell[],
  id: string,
  ran: ReadonlyMap<string, string>,
): string[] {
  const at = cells.findIndex((cell) => cell.id === id);
  const tag = at < 0 ? undefined : tagOf(cells[at]);
  const isAnswer = tag?.role === 'answer' && tag.question !== undefined;
  const work = new Set<Cell>(isAnswer ? workCellsOf(cells, tag.question ?? '') : []);
  const above = cells.slice(0, Math.max(0, at)).filter((cell) => cell.cell_type === 'code');
  const isNew = (cell: Cell) => ran.get(cell.id) !== sourceOf(cell);
  // What the sheet is begun with goes into all that is given below it.
  const begun = above.filter(isGiven);
  const first = begun.findIndex(isNew);
  const anew = new Set(first < 0 ? [] : begun.slice(first));
  return above
    .filter((cell) => anew.has(cell) || (work.has(cell) && isNew(cell)))
    .map((cell) => cell.id);
}

const isGiven = (cell: Cell) => tagOf(cell)?.role === 'given' || cell.id === studentNumberCell;
