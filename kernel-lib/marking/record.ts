import type { PlainAnswer } from '../questions/answer';
import type { TimeSource } from './hand-in-time';
import type { QuestionMark } from './judge-return';
import type { CellReport } from './run-report';

/** All about one marked return, kept as a file of its own. Plain data. */
export interface MarkRecord {
  readonly student: string;
  /** The student whose numbers stand in a group's return, where that is another. */
  readonly drawnFor?: string;
  readonly sheet: string;
  readonly path: string;
  /** When it came, ISO 8601; null where that is not known. */
  readonly time: string | null;
  /** Where that time is from. */
  readonly timeFrom?: TimeSource;
  /** Why that time may not be when it was handed in. */
  readonly doubt?: string;
  /** What a person should know of it. */
  readonly flags?: readonly string[];
  /** Where a number of nobody's stands in the notebook: that number, and the marks when it is judged with it. */
  readonly typed?: { readonly number: string; readonly marks: Readonly<Record<string, number>> };
  readonly note?: string;
  /** Digest of what ran: return, sheet, library, sampling points. */
  readonly ran: string;
  /** Digest of the key that judged. */
  readonly key: string;
  readonly questions: readonly QuestionMark[];
  /** Why there are no answers at all. */
  readonly failure?: string;
  /** Cells that failed, printed or showed something. */
  readonly cells: readonly CellReport[];
  readonly answers: Readonly<Record<string, PlainAnswer>>;
  /** Answers for a person to read, by question. */
  readonly written: Readonly<Record<string, string>>;
  /** What its run says to whoever reads the list of returns; part of the note. */
  readonly says?: string;
  /** Where something was stopped for its time: how many runs of the same text that happened in, and with which limits, ms. */
  readonly stopped?: { readonly times: number; readonly cell: number; readonly sheet: number };
}

const isText = (value: unknown): value is string => typeof value === 'string';
const isObject = (value: unknown) => typeof value === 'object' && value !== null;

/** Read a record's text; undefined when it is damaged or of another form, so that it is marked anew. */
export function readRecord(text: string): MarkRecord | undefined {
  try {
    const record = JSON.parse(text) as MarkRecord;
    const { student, sheet, ran, key, questions, cells, answers, written } = record;
    const sound =
      [student, sheet, ran, key].every(isText) &&
      Array.isArray(questions) &&
      Array.isArray(cells) &&
      isObject(answers) &&
      isObject(written);
    return sound ? record : undefined;
  } catch {
    return undefined;
  }
}

/** Without what its cells brought forth: of a large class that would not fit into memory. */
export const withoutOutputs = (record: MarkRecord): MarkRecord => ({
  ...record,
  cells: record.cells.flatMap(({ id, error }) => (error ? [{ id, error }] : [])),
});

export const writeRecord = (record: MarkRecord): string => `${JSON.stringify(record, null, 1)}\n`;

export const marksOf = ({ questions }: Pick<MarkRecord, 'questions'>): number =>
  questions.reduce((sum, { marks }) => sum + marks, 0);

type Looked = Pick<MarkRecord, 'note' | 'flags' | 'typed' | 'questions'>;

/** Questions that would have more marks with the number of nobody's that stands in the notebook. */
export function moreAsTyped({ typed, questions }: Pick<Looked, 'typed' | 'questions'>) {
  return questions.flatMap(({ question, marks }) => {
    const other = typed?.marks[question] ?? 0;
    return other > marks ? [{ question, marks: other }] : [];
  });
}

/** What a person should know of a return, sentence by sentence; for instructors, wherever returns are listed. */
export function toLookAt(one: Looked): string[] {
  const { note, flags = [], typed } = one;
  return [
    ...(note === undefined ? [] : [note]),
    ...flags,
    ...(typed === undefined ? [] : [typedSaid(typed.number, moreAsTyped(one))]),
  ];
}

function typedSaid(number: string, more: ReturnType<typeof moreAsTyped>): string {
  if (more.length === 0)
    return `It was judged with ${number}, too: no question has more marks then.`;
  const list = more.map(({ question, marks }) => `${question}: ${marks}`).join(', ');
  return `It was judged with ${number}, too, and has more marks then: ${list}. If the number was only mistyped, enter these in changed-marks.csv.`;
}

const words = { agrees: 'Agrees.', 'not yet': 'Not yet.', 'to be read': 'To be read.' } as const;

/** The word that leads a mark in; '' where a person gave it, since the marks say enough then. */
export function verdictWord({ state, follows, isRead, changed }: QuestionMark): string {
  if (changed || isRead) return '';
  return follows === undefined ? words[state] : `Follows from ${follows}.`;
}

/** How far a line of the mark scheme was met. */
export const metWord = ({ marks, outOf }: { readonly marks: number; readonly outOf: number }) =>
  marks === outOf ? 'met' : marks > 0 ? 'partly met' : 'not met';
