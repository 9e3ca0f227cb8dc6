import type { AnySheet } from './sheet';
import type { Verdict } from './verdict';

/** Where a sheet stands. Plain data. */
export interface SheetState {
  readonly sheet: string;
  readonly title: string;
  /** Marks earned so far. */
  readonly marks: number;
  /** Marks of recorded answers and of written questions: decided later. */
  readonly later: number;
  readonly outOf: number;
  readonly questions: readonly {
    readonly question: string;
    readonly asks: string;
    readonly state: Verdict['state'] | 'open' | 'written';
    readonly marks: number;
    readonly outOf: number;
  }[];
}

/** Totals over a sheet, from the last verdict on each question. */
export function sheetState(sheet: AnySheet, verdicts: ReadonlyMap<string, Verdict>): SheetState {
  const questions = sheet.questions.map(({ id, asks, marks, kind }) => {
    const verdict = verdicts.get(id);
    const idle = kind === 'written' ? ('written' as const) : ('open' as const);
    const state = kind === 'written' ? idle : (verdict?.state ?? idle);
    return { question: id, asks, state, marks: verdict?.marks ?? 0, outOf: marks };
  });
  const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);
  const isLater = (state: string) => state === 'recorded' || state === 'written';
  return {
    sheet: sheet.name,
    title: sheet.title,
    marks: sum(questions.map(({ marks }) => marks)),
    later: sum(questions.filter(({ state }) => isLater(state)).map(({ outOf }) => outOf)),
    outOf: sum(questions.map(({ outOf }) => outOf)),
    questions,
  };
}

const counted = (count: number) => `${count} ${count === 1 ? 'mark' : 'marks'}`;

/** One line: "2.1 agrees, 2 of 2 marks · sheet so far 4 of 16". */
export function progressLine(verdict: Verdict, state: SheetState): string {
  const { question, outOf } = verdict;
  const here =
    verdict.state === 'recorded'
      ? `${question} recorded, ${counted(outOf)} decided later`
      : `${question} ${verdict.state}, ${verdict.marks} of ${counted(outOf)}`;
  return `${here} · sheet so far ${state.marks} of ${state.outOf}`;
}
