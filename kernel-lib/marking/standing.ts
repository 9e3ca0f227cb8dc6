import type { ClassData, SheetOfStudent } from './class-data';
import type { QuestionMark } from './judge-return';
import type { MarkRecord } from './record';

/** Why a mark is another than the last time. */
export type Cause =
  | 'key'
  | 'settings'
  | "a person's hand"
  | 'another return'
  | 'return gone'
  | 'sheet or program'
  | 'marked again';

/** A mark that moved. */
export interface Moved {
  /** When that was found, ISO 8601. */
  readonly when: string;
  readonly student: string;
  readonly sheet: string;
  /** Of the sheet; `after deduction` for what counts of the whole sheet. */
  readonly question: string;
  /** null: nothing was given yet. */
  readonly before: number | null;
  readonly now: number | null;
  readonly cause: Cause;
  /** In a person's words, where there are any. */
  readonly why: string;
}

/** How one return of one student stood. */
interface Stood {
  /** Digest of what the student wrote. */
  readonly text: string;
  readonly ran: string;
  readonly key: string;
  /** By question: what the marker gives, and what counts with a person's marks; null until it is read. */
  readonly marks: Readonly<Record<string, readonly [machine: number, counted: number | null]>>;
  readonly daysLate: number;
  readonly counted: number;
  readonly held: boolean;
}

/** How all marks stood the last time, and every move since the folder was begun. */
export interface Standing {
  /** Which of several returns counted. */
  readonly counts: string;
  /** Digest of what lateness depends on: deadline, share, days granted, times. */
  readonly lateness: string;
  /** By sheet and student, with a blank between. */
  readonly stood: Readonly<Record<string, Stood>>;
  readonly moved: readonly Moved[];
}

/** What the next standing is made from. */
export interface Now {
  readonly when: string;
  readonly counts: string;
  readonly lateness: string;
  readonly data: ClassData;
  /** As the marker judged them, without any person's marks, by path of the return. */
  readonly machine: ReadonlyMap<string, MarkRecord>;
  /** Digest of what was written, by path of the return. */
  readonly texts: ReadonlyMap<string, string>;
}

export const noStanding: Standing = { counts: '', lateness: '', stood: {}, moved: [] };

const isObject = (value: unknown) => typeof value === 'object' && value !== null;

/** Read a standing's text; undefined when it is damaged. */
export function readStanding(text: string): Standing | undefined {
  try {
    const standing = JSON.parse(text) as Standing;
    return isObject(standing.stood) && Array.isArray(standing.moved) ? standing : undefined;
  } catch {
    return undefined;
  }
}

/** The standing after a run, with every mark that moved since the last one and its cause. */
export function nextStanding(last: Standing, now: Now): { standing: Standing; moved: Moved[] } {
  const sheets = new Set(now.data.sheets.map(({ sheet }) => sheet));
  const stood: Record<string, Stood> = {};
  const moved: Moved[] = [];
  for (const { student, sheets: own } of now.data.students)
    for (const one of own) {
      const place = `${one.sheet} ${student}`;
      const is = stoodOf(one, now);
      stood[place] = is;
      const was = Object.hasOwn(last.stood, place) ? last.stood[place] : undefined;
      if (was) moved.push(...movesOf(student, one, was, is, last, now));
    }
  for (const [place, was] of Object.entries(last.stood)) {
    if (Object.hasOwn(stood, place)) continue;
    const [sheet, student] = place.split(' ');
    // A sheet that is not being marked now stands as it was.
    if (!sheets.has(sheet)) stood[place] = was;
    else
      moved.push({
        ...{ when: now.when, student, sheet, question: 'after deduction' },
        ...{ before: was.counted, now: null, cause: 'return gone', why: '' },
      });
  }
  const { counts, lateness } = now;
  return { standing: { counts, lateness, stood, moved: [...last.moved, ...moved] }, moved };
}

const given = ({ state, marks }: QuestionMark) => (state === 'to be read' ? null : marks);

function stoodOf(one: SheetOfStudent, { machine, texts }: Now): Stood {
  const record = machine.get(one.path);
  const byMachine = new Map(record?.questions.map(({ question, marks }) => [question, marks]));
  return {
    text: texts.get(one.path) ?? '',
    ran: record?.ran ?? '',
    key: record?.key ?? '',
    marks: Object.fromEntries(
      one.questions.map((mark) => [
        mark.question,
        [byMachine.get(mark.question) ?? 0, given(mark)],
      ]),
    ),
    daysLate: one.daysLate,
    counted: one.counted,
    held: one.held !== undefined,
  };
}

function movesOf(
  student: string,
  one: SheetOfStudent,
  was: Stood,
  is: Stood,
  last: Standing,
  now: Now,
): Moved[] {
  const { sheet } = one;
  const isOther = was.text !== is.text;
  const other: Cause = now.counts !== last.counts ? 'settings' : 'another return';
  const causeOf = (question: string): Cause => {
    if (was.marks[question]?.[0] === is.marks[question][0])
      return isOther ? other : "a person's hand";
    if (isOther) return other;
    if (was.key !== is.key) return 'key';
    return was.ran === is.ran ? 'marked again' : 'sheet or program';
  };
  const moves = one.questions.flatMap((mark): Moved[] => {
    const { question, changed, remark = '' } = mark;
    const marks = given(mark);
    const before = was.marks[question]?.[1] ?? null;
    if (before === marks) return [];
    const cause = causeOf(question);
    const why = cause === "a person's hand" ? (changed?.reason ?? remark) : '';
    return [{ when: now.when, student, sheet, question, before, now: marks, cause, why }];
  });
  const isRule = was.daysLate !== is.daysLate || was.held !== is.held || moves.length === 0;
  if (was.counted !== is.counted && isRule)
    moves.push({
      ...{ when: now.when, student, sheet, question: 'after deduction' },
      ...{ before: was.counted, now: is.counted, why: '' },
      cause: last.lateness === now.lateness ? other : 'settings',
    });
  return moves;
}

/** Every move since the folder was begun, the oldest first, as a table. */
export const movedTable = (moved: readonly Moved[]): (string | number)[][] => [
  ['when', 'student', 'sheet', 'question', 'before', 'now', 'cause', 'why'],
  ...moved.map(({ when, student, sheet, question, before, now, cause, why }) => [
    ...[when, student, sheet, question, before ?? '', now ?? '', cause, why],
  ]),
];
