import { type Cell, sourceOf, tagOf, writtenCell } from '../../notebook/notebook';
import type { Verdict } from '../../questions/verdict';
import type { ListedQuestion, ListedSheet } from '../../travels/sheet-list';
import { verdictIn } from './outputs';
import { isChangedSince } from './working';

/** A question with its standing, as the rail and the mark boxes show it. */
export interface QuestionRow {
  readonly id: string;
  readonly asks: string;
  /** In words: agrees, not yet, recorded, written, to write, open. */
  readonly state: string;
  /** Marks earned, or undefined while that is not decided. */
  readonly marks: number | undefined;
  readonly outOf: number | undefined;
  /** Set where the working is no longer what the verdict is about. */
  readonly changed?: true;
}

/**
 * The last verdict on each question, from the outputs of the cells. Any cell can show what looks like one: what gives
 * more marks than the sheet has for its question is passed over, and so is a question that the sheet does not ask.
 */
function verdictsIn(
  cells: readonly Cell[],
  listed: readonly ListedQuestion[],
): Map<string, Verdict> {
  const most = new Map(listed.map(({ id, marks }) => [id, marks]));
  const isBelieved = ({ question, marks }: Verdict) =>
    listed.length === 0 || marks <= (most.get(question) ?? -1);
  const found = new Map<string, Verdict>();
  for (const cell of cells) {
    if (cell.cell_type !== 'code') continue;
    for (const output of cell.outputs) {
      const verdict = verdictIn(output);
      if (verdict && isBelieved(verdict)) found.set(verdict.question, verdict);
    }
  }
  return found;
}

/** All questions of the sheet: those listed, and any that the cells name beside. */
export function questionRows(
  cells: readonly Cell[],
  listed: readonly ListedQuestion[],
): QuestionRow[] {
  const verdicts = verdictsIn(cells, listed);
  const named = cells
    .map((cell) => tagOf(cell)?.question)
    .filter((id): id is string => id !== undefined);
  const known = new Set(listed.map(({ id }) => id));
  const extra = [...new Set(named)].filter((id) => !known.has(id));
  return [
    ...listed.map((question) => rowOf(question, cells, verdicts.get(question.id))),
    ...extra.map((id) =>
      rowOf({ id, asks: '', kind: '', marks: Number.NaN }, cells, verdicts.get(id)),
    ),
  ];
}

function rowOf(
  { id, asks, marks, kind, blank }: ListedQuestion,
  cells: readonly Cell[],
  verdict: Verdict | undefined,
): QuestionRow {
  const outOf = Number.isFinite(marks) ? marks : verdict?.outOf;
  if (kind === 'written') {
    const cell = writtenCell(cells, id);
    const text = cell ? sourceOf(cell).trim() : '';
    const done = text !== '' && text !== (blank ?? '').trim();
    return { id, asks, state: done ? 'written' : 'to write', marks: undefined, outOf };
  }
  if (!verdict) return { id, asks, state: 'open', marks: undefined, outOf };
  const isUndecided = verdict.state === 'recorded' || verdict.state === 'open';
  return {
    id,
    asks: asks || verdict.asks,
    state: verdict.state,
    marks: isUndecided ? undefined : verdict.marks,
    outOf,
    ...(isChangedSince(cells, id) && { changed: true as const }),
  };
}

/** Totals for the line under the rail. */
export function totals(rows: readonly QuestionRow[]) {
  const sum = (list: readonly (number | undefined)[]) =>
    list.reduce<number>((all, more) => all + (more ?? 0), 0);
  const later = rows.filter(({ state }) => state === 'recorded' || state === 'written');
  return {
    marks: sum(rows.map(({ marks }) => marks)),
    later: sum(later.map(({ outOf }) => outOf)),
    outOf: sum(rows.map(({ outOf }) => outOf)),
    done: rows.filter(({ state }) => ['agrees', 'recorded', 'written'].includes(state)).length,
    count: rows.length,
  };
}

const kinds = ['agrees', 'not yet', 'recorded', 'written'] as const;

/** The states of a sheet's questions in their order; `open` for one without any. */
export function statesOf({ questions, states }: ListedSheet): string[] {
  return questions.map(({ id }) => {
    const state = Object.hasOwn(states, id) ? states[id] : '';
    return (kinds as readonly string[]).includes(state) ? state : 'open';
  });
}

/** How far a sheet is, in one sentence: `Of 9 questions: 4 agree, 1 recorded. 8 of 22 marks so far.` */
export function standingWords(sheet: ListedSheet): string {
  const { opened, questions, marks } = sheet;
  const outOf = questions.reduce((sum, question) => sum + question.marks, 0);
  const all = `${questions.length} questions, ${outOf} marks`;
  if (!opened) return questions.length > 0 ? `Not begun. ${all}.` : 'Not begun.';
  const states = statesOf(sheet);
  const parts = kinds.flatMap((kind) => {
    const count = states.filter((state) => state === kind).length;
    if (count === 0) return [];
    return [`${count} ${kind === 'agrees' && count > 1 ? 'agree' : kind}`];
  });
  if (parts.length === 0) return `Begun, nothing answered yet. ${all}.`;
  return `Of ${questions.length} questions: ${parts.join(', ')}. ${marks} of ${outOf} marks so far.`;
}
