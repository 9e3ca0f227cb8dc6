import type { QuestionMark } from '../../kernel-lib/marking/judge-return';
import type { MarkRecord } from '../../kernel-lib/marking/record';

const mark = (question: string, marks: number, more: Partial<QuestionMark> = {}): QuestionMark => ({
  question,
  asks: `Question ${question}`,
  state: marks > 0 ? 'agrees' : 'not yet',
  marks,
  outOf: 2,
  message: `${marks} marks.`,
  ...more,
});

export const slip = { slip: 'radians', message: '0.01 was read. <b>Degrees</b> are asked for.' };

/** A record of an invented student for a sheet with two questions and a written one. */
export const recordOf = (
  student: string,
  marks: readonly [number, number],
  more: Partial<MarkRecord> = {},
): MarkRecord => ({
  student,
  sheet: '09-invented',
  path: `${student}.ipynb`,
  time: '2026-11-20T12:00:00.000Z',
  ran: 'r',
  key: 'k',
  questions: [
    mark('9.1', marks[0], marks[0] === 0 ? slip : {}),
    mark('9.2', marks[1]),
    mark('9.3', 0, { state: 'to be read' }),
  ],
  cells: [],
  answers: {},
  written: {},
  ...more,
});

export const title = { sheet: '09-invented', title: 'An invented sheet', outOf: 6 };
