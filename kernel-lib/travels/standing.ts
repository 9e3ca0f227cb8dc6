import { type Notebook, sourceOf, writtenCell } from '../notebook/notebook';
import type { AnyQuestion } from '../questions/sheet';
import { verdictMimeType } from '../questions/verdict';
import { type HandedIn, handedInOf } from './handed-in';
import type { ListedQuestion } from './sheet-list';

/** How far a student is, as the verdicts and written answers saved in the notebook say. */
interface Standing {
  /** Question ids that have a verdict or a written answer, with the state. */
  readonly states: Readonly<Record<string, string>>;
  readonly marks: number;
  readonly handedIn?: HandedIn;
}

/**
 * Read the verdicts out of a notebook's outputs; what does not look like one is passed over, and so is one on a question
 * that the sheet does not ask or with more marks than there are.
 */
export function standingOf(notebook: Notebook, questions: readonly ListedQuestion[]): Standing {
  const states: Record<string, string> = {};
  const marks: Record<string, number> = {};
  const most = new Map(questions.map((question) => [question.id, question.marks]));
  for (const cell of notebook.cells) {
    if (cell.cell_type !== 'code') continue;
    for (const output of cell.outputs) {
      const data = 'data' in output ? output.data[verdictMimeType] : undefined;
      const verdict = data as { question?: unknown; state?: unknown; marks?: unknown } | undefined;
      if (typeof verdict?.question !== 'string' || typeof verdict.state !== 'string') continue;
      const earned = typeof verdict.marks === 'number' ? verdict.marks : 0;
      if (!(earned >= 0 && earned <= (most.get(verdict.question) ?? -1))) continue;
      states[verdict.question] = verdict.state;
      marks[verdict.question] = earned;
    }
  }
  for (const { id, blank } of questions) {
    const cell = blank === undefined ? undefined : writtenCell(notebook.cells, id);
    const text = cell ? sourceOf(cell).trim() : '';
    if (text !== '' && text !== blank?.trim()) states[id] = 'written';
  }
  const handedIn = handedInOf(notebook);
  return {
    states,
    marks: Object.values(marks).reduce((sum, more) => sum + more, 0),
    ...(handedIn && { handedIn }),
  };
}

/** A question as the page lists it; a written one with what its cell holds in the original. */
export function listedQuestion(
  { id, asks, marks, kind }: AnyQuestion,
  original: Notebook,
): ListedQuestion {
  if (kind !== 'written') return { id, asks, marks, kind };
  const cell = writtenCell(original.cells, id);
  return { id, asks, marks, kind, blank: cell ? sourceOf(cell) : '' };
}
