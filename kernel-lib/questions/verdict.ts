import type { MimeBundle } from '../display/bundle';
import { escapeText } from '../display/bundle';
import type { Asked, Finding, State } from './kinds/kind';
import type { AnySheet } from './sheet';

/** What is said about one answer. Plain data: it travels as JSON. */
export interface Verdict {
  readonly question: string;
  /** The question's short title. */
  readonly asks: string;
  readonly state: State;
  /** Marks earned; 0 for a recorded answer until it is marked. */
  readonly marks: number;
  readonly outOf: number;
  /** One or two sentences for the student. */
  readonly message: string;
  /** What was read, in the stated unit. */
  readonly shown?: string;
  /** The name of the slip that was recognised. */
  readonly slip?: string;
}

export function verdictOf({ id, asks, marks }: Asked, finding: Finding): Verdict {
  const { state, message, shown, slip } = finding;
  return {
    question: id,
    asks,
    state,
    marks: state === 'agrees' ? marks : 0,
    outOf: marks,
    message,
    ...(shown === undefined ? {} : { shown }),
    ...(slip === undefined ? {} : { slip }),
  };
}

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
    readonly state: Verdict['state'] | 'written';
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

/** The verdict as data, for the page and the marker. */
export const verdictMimeType = 'application/vnd.multislit.verdict+json';

/** Word and shape first, colour second: a whole line agrees, a double one is not yet, a dotted one is recorded, a dashed one is open. */
const looks: Record<State, { word: string; line: string; colour: string }> = {
  agrees: { word: 'Agrees.', line: 'solid', colour: '#1e6b3c' },
  'not yet': { word: 'Not yet.', line: 'double', colour: '#8a4b08' },
  recorded: { word: 'Recorded.', line: 'dotted', colour: '#1f4b99' },
  open: { word: 'Still open.', line: 'dashed', colour: '#5c6470' },
};

/** Show one verdict: as data, as HTML that stands by itself, and as text. */
export function verdictBundle(verdict: Verdict, state: SheetState): MimeBundle {
  const { word, line, colour } = looks[verdict.state];
  const progress = progressLine(verdict, state);
  const box = `margin:8px 0 0;padding:8px 14px;border-left:5px ${line} ${colour};background:#fff;color:#1d2430;font-size:16px;line-height:1.5;overflow-wrap:anywhere`;
  return {
    [verdictMimeType]: { ...verdict, progress, sheet: state },
    'text/html':
      `<div role="status" style="${box}"><b style="color:${colour}">${word}</b> ${escapeText(verdict.message)}` +
      `<div style="margin-top:2px;color:#5c6470;font-size:14px">${escapeText(progress)}</div></div>`,
    'text/plain': `${word} ${verdict.message}\n${progress}`,
  };
}

const counted = (count: number) => `${count} ${count === 1 ? 'mark' : 'marks'}`;

/** One line: "2.1 agrees, 2 of 2 marks · sheet so far 4 of 16". */
export function progressLine(verdict: Verdict, state: SheetState): string {
  const { question, outOf } = verdict;
  const wholes: Partial<Record<State, string>> = {
    recorded: `recorded, ${counted(outOf)} decided later`,
    open: `open, ${counted(outOf)}`,
  };
  const here = `${question} ${wholes[verdict.state] ?? `${verdict.state}, ${verdict.marks} of ${counted(outOf)}`}`;
  return `${here} · sheet so far ${state.marks} of ${state.outOf}`;
}

/** A sentence that is no verdict: `check` before `begin`, a question that the sheet does not have. */
export function noticeBundle(message: string): MimeBundle {
  const box =
    'margin:8px 0 0;padding:8px 14px;border:1px dashed #8a4b08;background:#fff;color:#1d2430';
  return {
    'text/html': `<div role="status" style="${box}">${escapeText(message)}</div>`,
    'text/plain': message,
  };
}
