import type { PassedOver } from './choose';
import type { TimeSource } from './hand-in-time';
import type { QuestionMark } from './judge-return';
import { type Earned, type ExtraDays, earned, extraDaysOf, type LateRule } from './late';
import type { NotMarked } from './not-marked';
import type { MarkRecord } from './record';
import type { Enrolled } from './roster';

/** A question over the class. Shares 0…1. */
export interface QuestionOfClass {
  readonly question: string;
  readonly asks: string;
  readonly outOf: number;
  readonly facility: number;
  readonly discrimination: number | null;
  /** Slips that were recognised, commonest first. */
  readonly slips: readonly {
    readonly slip: string;
    readonly hint: string;
    readonly count: number;
  }[];
  /** Answers that a person has still to read. */
  readonly toRead: number;
  /** Answers of which the cell failed, was stopped, deleted or renamed. */
  readonly faults: number;
}

export interface SheetOfClass {
  readonly sheet: string;
  readonly title: string;
  readonly outOf: number;
  readonly returns: number;
  readonly questions: readonly QuestionOfClass[];
}

export interface SheetOfStudent {
  readonly sheet: string;
  readonly marks: number;
  readonly outOf: number;
  /** Marks that wait for a person. */
  readonly toRead: number;
  readonly daysLate: number;
  /** After the deduction for days late. */
  readonly counted: number;
  /** Nothing was deducted for days late, since the time is in doubt: why. */
  readonly held?: string;
  /** Of a later round: which, and how many marks it can count at most. */
  readonly again?: Earned['again'];
  /** The student whose numbers stand in a group's return, where that is another. */
  readonly drawnFor?: string;
  readonly path: string;
  readonly time: string | null;
  readonly timeFrom?: TimeSource;
  readonly note?: string;
  /** What a person should know of the return; for instructors. */
  readonly flags?: readonly string[];
  /** A number of nobody's in the notebook, and the marks when it is judged with it. */
  readonly typed?: MarkRecord['typed'];
  readonly failure?: string;
  /** Cells that failed, but for those of which a question tells. */
  readonly failures: readonly {
    readonly id: string;
    readonly name: string;
    readonly message: string;
    readonly line?: number;
  }[];
  readonly questions: readonly QuestionMark[];
  /** Returns of this sheet that were marked, too, and do not count. */
  readonly others?: readonly Pick<PassedOver, 'path' | 'why'>[];
}

export interface StudentOfClass {
  readonly student: string;
  readonly total: number;
  readonly sheets: readonly SheetOfStudent[];
  /** Sheets that did not come back. */
  readonly missing: readonly string[];
  /** Files with this student's number in their name that could not be marked. */
  readonly refused?: readonly Pick<NotMarked, 'path' | 'why'>[];
}

export interface ClassData {
  readonly sheets: readonly SheetOfClass[];
  readonly students: readonly StudentOfClass[];
}

interface SheetTitle {
  readonly sheet: string;
  readonly title: string;
  readonly outOf: number;
}

const tenth = (marks: number) => Math.round(10 * marks) / 10;
const toRead = (questions: readonly QuestionMark[]) =>
  questions.reduce((sum, { state, outOf }) => sum + (state === 'to be read' ? outOf : 0), 0);

/** What is known of a class beside its records. */
interface ClassRules {
  readonly roster?: readonly Enrolled[];
  readonly late?: LateRule;
  /** Those of the roster unless given. */
  readonly extraDays?: ExtraDays;
  /** Returns that do not count. */
  readonly others?: readonly PassedOver[];
  /** Files that could not be marked. */
  readonly notMarked?: readonly (Omit<NotMarked, 'reason'> & { readonly reason: string })[];
}

/** The records of a class put together; in the order of the roster, else by number. */
export function classData(
  records: readonly MarkRecord[],
  titles: readonly SheetTitle[],
  { roster, late, extraDays = extraDaysOf(roster), others = [], notMarked = [] }: ClassRules,
): ClassData {
  const byStudent = new Map<string, MarkRecord[]>();
  for (const { student } of roster ?? []) byStudent.set(student, []);
  const sorted = [...records].sort((a, b) => (a.student < b.student ? -1 : 1));
  for (const record of sorted) {
    const list = byStudent.get(record.student) ?? [];
    list.push(record);
    byStudent.set(record.student, list);
  }
  const compared = new Map<string, PassedOver[]>();
  for (const one of others) {
    const place = `${one.sheet} ${one.student}`;
    if (one.marks !== undefined) compared.set(place, [...(compared.get(place) ?? []), one]);
  }
  const refused = new Map<string, { path: string; why: string }[]>();
  for (const { path, why, student, reason } of notMarked)
    if (student !== undefined && !/^(?:left by a system|beside a notebook|left out)$/.test(reason))
      refused.set(student, [...(refused.get(student) ?? []), { path, why }]);
  for (const student of refused.keys()) if (!byStudent.has(student)) byStudent.set(student, []);
  const students = [...byStudent].map(([student, own]): StudentOfClass => {
    const sheets = titles.flatMap(({ sheet }) => {
      const record = own.find((one) => one.sheet === sheet);
      if (!record) return [];
      const beside = compared.get(`${sheet} ${student}`) ?? [];
      return [sheetOfStudent(record, late, extraDays(student, sheet), beside)];
    });
    const missing = titles
      .map(({ sheet }) => sheet)
      .filter((name) => !own.some((one) => one.sheet === name));
    return {
      student,
      total: tenth(sheets.reduce((sum, { counted }) => sum + counted, 0)),
      sheets,
      missing,
      ...(refused.has(student) ? { refused: refused.get(student) } : {}),
    };
  });
  return { sheets: titles.map((title) => sheetOfClass(title, sorted)), students };
}

/** What is said at a question need not be said again. */
const isTold = ({ questions }: MarkRecord, cell: string) =>
  questions.some(({ question, fault }) => cell === question || fault?.cells.includes(cell));

function sheetOfStudent(
  record: MarkRecord,
  late: LateRule | undefined,
  extraDays: number,
  others: readonly PassedOver[],
): SheetOfStudent {
  const { sheet, questions, path, time, timeFrom, note, flags, typed, failure, cells, drawnFor } =
    record;
  return {
    sheet,
    ...earned(record, late, extraDays),
    outOf: questions.reduce((sum, { outOf }) => sum + outOf, 0),
    toRead: toRead(questions),
    ...(drawnFor === undefined ? {} : { drawnFor }),
    path,
    time,
    ...(timeFrom === undefined ? {} : { timeFrom }),
    ...(note === undefined ? {} : { note }),
    ...(flags === undefined ? {} : { flags }),
    ...(typed === undefined ? {} : { typed }),
    ...(failure === undefined ? {} : { failure }),
    failures: cells.flatMap(({ id, error }) =>
      error && !isTold(record, id)
        ? [
            {
              id,
              name: error.name,
              message: error.message,
              ...(error.line === undefined ? {} : { line: error.line }),
            },
          ]
        : [],
    ),
    questions,
    ...(others.length > 0 ? { others: others.map(({ path, why }) => ({ path, why })) } : {}),
  };
}

function sheetOfClass(
  { sheet, title, outOf }: SheetTitle,
  all: readonly MarkRecord[],
): SheetOfClass {
  const records = all.filter((record) => record.sheet === sheet);
  const asked = records[0]?.questions ?? [];
  const statistics = questionStatistics(
    records.map(({ questions }) => questions.map(({ marks }) => marks)),
    asked.map(({ outOf: full }) => full),
  );
  const questions = asked.map(({ question, asks, outOf: full }, i): QuestionOfClass => {
    const answers = records.map((record) => record.questions[i]);
    return {
      question,
      asks,
      outOf: full,
      facility: statistics[i].facility,
      discrimination: statistics[i].discrimination ?? null,
      slips: slipsOf(answers),
      toRead: answers.filter(({ state }) => state === 'to be read').length,
      faults: answers.filter(({ fault }) => fault !== undefined).length,
    };
  });
  return { sheet, title, outOf, returns: records.length, questions };
}

function slipsOf(marks: readonly QuestionMark[]): QuestionOfClass['slips'] {
  const found = new Map<string, { slip: string; hint: string; count: number }>();
  for (const { slip, message } of marks) {
    if (slip === undefined) continue;
    const known = found.get(slip);
    if (known) known.count += 1;
    else found.set(slip, { slip, hint: message, count: 1 });
  }
  return [...found.values()].sort((a, b) => b.count - a.count || (a.slip < b.slip ? -1 : 1));
}

/** How a question did in a class. */
interface QuestionStatistics {
  /** Mean mark over the mark that could be earned, 0…1: near 1 is easy. */
  readonly facility: number;
  /**
   * Correlation between the mark for this question and the marks for all others, −1…1: near 0 or below means
   * that those who do well elsewhere do no better here. Undefined where one of the two does not vary.
   */
  readonly discrimination: number | undefined;
}

const mean = (list: readonly number[]) => list.reduce((a, b) => a + b, 0) / list.length;

/**
 * Pearson's correlation, Σ(x−x̄)(y−ȳ) / √(Σ(x−x̄)² Σ(y−ȳ)²).
 *
 * @returns −1…1, or undefined when either list does not vary
 */
export function correlation(x: readonly number[], y: readonly number[]): number | undefined {
  const mx = mean(x);
  const my = mean(y);
  let [xy, xx, yy] = [0, 0, 0];
  for (let i = 0; i < x.length; i++) {
    xy += (x[i] - mx) * (y[i] - my);
    xx += (x[i] - mx) ** 2;
    yy += (y[i] - my) ** 2;
  }
  const size = Math.sqrt(xx * yy);
  return size > 0 ? xy / size : undefined;
}

/**
 * Facility and corrected item–rest correlation of each question, the two figures of classical test analysis
 * (common practice, no source).
 *
 * @param marks one row a student, one column a question
 * @param outOf what each question could earn
 */
export function questionStatistics(
  marks: readonly (readonly number[])[],
  outOf: readonly number[],
): QuestionStatistics[] {
  const totals = marks.map((row) => row.reduce((a, b) => a + b, 0));
  return outOf.map((full, q) => {
    const ofQuestion = marks.map((row) => row[q]);
    const rest = totals.map((total, i) => total - ofQuestion[i]);
    return {
      facility: marks.length > 0 ? mean(ofQuestion) / full : 0,
      discrimination: marks.length > 2 ? correlation(ofQuestion, rest) : undefined,
    };
  });
}
