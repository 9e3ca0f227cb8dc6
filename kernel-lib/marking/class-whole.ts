import { fromUnit } from '../quantity/known-unit';
import type { PlainAnswer } from '../questions/answer';
import { givensFor } from '../questions/draw';
import { type AnyKey, openForms } from '../questions/sheet';
import { correlation, type QuestionOfClass, type SheetOfClass } from './class-data';
import type { ClassGrid, GridCell, GridColumn } from './class-grid';
import type { MarkRecord } from './record';
import type { SimilarityCluster } from './similarity';

/** How the answers to a question are spread, by students. */
export const shares = ['all', 'some', 'none', 'waits'] as const;
export type Share = (typeof shares)[number];

/** A question over the class, as the marks stand now. */
export interface QuestionWhole extends GridColumn {
  /** Mean mark over the mark that could be earned, 0…1; null where nothing is judged yet. */
  readonly facility: number | null;
  /** Correlation of its marks with those for the rest of the sheet, −1…1; null where one of the two does not vary. */
  readonly discrimination: number | null;
  readonly by: Readonly<Record<Share, readonly string[]>>;
  /** Slips that were recognised, commonest first. */
  readonly slips: readonly { readonly slip: string; readonly students: readonly string[] }[];
  /** Answers of which the cell failed. */
  readonly faults: readonly string[];
}

/** A sheet over the class. Marks are those for the answers, before any deduction for days late. */
export interface SheetWhole {
  readonly sheet: string;
  readonly title: string;
  readonly outOf: number;
  readonly marks: readonly { readonly student: string; readonly marks: number }[];
  /** Answers that wait for a reader; their marks are not in `marks` yet. */
  readonly waits: number;
  readonly spread: SpreadOf | null;
  /** Marks over what could be earned by the answers that are judged, 0…1. */
  readonly facility: number | null;
  /** Correlation with the marks for all other sheets, among those who handed them all in. */
  readonly discrimination: number | null;
  readonly questions: readonly QuestionWhole[];
}

/** Mean, standard deviation with n − 1, and the quartiles by linear interpolation between the ranked marks. */
export interface SpreadOf {
  readonly mean: number;
  readonly deviation: number;
  readonly lowest: number;
  readonly quarter: number;
  readonly median: number;
  readonly threeQuarters: number;
  readonly highest: number;
}

const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);

/**
 * How a list of numbers is spread. The quantile q lies at rank q (n − 1), counted from 0, between the neighbours.
 *
 * @example spreadOf([1, 2, 3, 4])?.quarter // 1.75
 */
export function spreadOf(list: readonly number[]): SpreadOf | null {
  if (list.length === 0) return null;
  const sorted = [...list].sort((a, b) => a - b);
  const mean = sum(list) / list.length;
  const at = (q: number) => {
    const rank = q * (sorted.length - 1);
    const below = Math.floor(rank);
    return (
      sorted[below] +
      (rank - below) * (sorted[Math.min(below + 1, sorted.length - 1)] - sorted[below])
    );
  };
  return {
    mean,
    deviation:
      list.length > 1 ? Math.sqrt(sum(list.map((x) => (x - mean) ** 2)) / (list.length - 1)) : 0,
    lowest: sorted[0],
    quarter: at(0.25),
    median: at(0.5),
    threeQuarters: at(0.75),
    highest: sorted[sorted.length - 1],
  };
}

const isJudged = (cell: GridCell | null): cell is GridCell =>
  cell !== null && cell.state !== 'to be read';

/** Fewer say nothing of how two lists go together. */
const fewest = 3;

/** The class as a whole, as its marks stand now. */
export function classWhole(grid: ClassGrid): SheetWhole[] {
  const totals = grid.sheets.map(({ from, to }) =>
    grid.students.map(({ cells }) => {
      const own = cells.slice(from, to);
      return own.every((cell) => cell === null)
        ? undefined
        : sum(own.map((cell) => (isJudged(cell) ? cell.marks : 0)));
    }),
  );
  return grid.sheets.map(({ sheet, title, outOf, from, to }, at): SheetWhole => {
    const marks = grid.students.flatMap(({ student }, i) => {
      const total = totals[at][i];
      return total === undefined ? [] : [{ student, marks: Math.round(1000 * total) / 1000 }];
    });
    const columns = Array.from({ length: to - from }, (_, i) => from + i);
    const waits = grid.students.reduce(
      (all, { cells }) =>
        all + columns.filter((column) => cells[column]?.state === 'to be read').length,
      0,
    );
    // Only questions that are judged for everybody can be what a question is compared with.
    const whole = columns.filter((column) =>
      grid.students.every(({ cells }) => cells[column]?.state !== 'to be read'),
    );
    return {
      ...{ sheet, title, outOf, marks, waits, facility: facilityOf(grid, columns) },
      spread: spreadOf(marks.map((one) => one.marks)),
      discrimination: withOthers(totals, at),
      questions: columns.map((column) => questionWhole(grid, column, whole)),
    };
  });
}

function facilityOf({ columns, students }: ClassGrid, own: readonly number[]): number | null {
  let [earned, possible] = [0, 0];
  for (const { cells } of students)
    for (const column of own) {
      const cell = cells[column];
      if (!isJudged(cell)) continue;
      earned += cell.marks;
      possible += columns[column].outOf;
    }
  return possible === 0 ? null : earned / possible;
}

function withOthers(totals: readonly (readonly (number | undefined)[])[], at: number) {
  if (totals.length < 2) return null;
  const [own, rest]: [number[], number[]] = [[], []];
  for (const [i, total] of totals[at].entries()) {
    const others = totals.filter((_, n) => n !== at).map((list) => list[i]);
    if (total === undefined || !others.every((one) => one !== undefined)) continue;
    own.push(total);
    rest.push(sum(others as number[]));
  }
  return own.length < fewest ? null : (correlation(own, rest) ?? null);
}

function questionWhole(grid: ClassGrid, column: number, whole: readonly number[]): QuestionWhole {
  const asked = grid.columns[column];
  const by: Record<Share, string[]> = { all: [], some: [], none: [], waits: [] };
  const slips = new Map<string, string[]>();
  const faults: string[] = [];
  const [own, rest]: [number[], number[]] = [[], []];
  for (const { student, cells } of grid.students) {
    const cell = cells[column];
    if (cell === null) continue;
    if (cell.slip !== undefined) slips.set(cell.slip, [...(slips.get(cell.slip) ?? []), student]);
    if (cell.fault !== undefined) faults.push(student);
    if (!isJudged(cell)) {
      by.waits.push(student);
      continue;
    }
    by[cell.marks >= asked.outOf ? 'all' : cell.marks > 0 ? 'some' : 'none'].push(student);
    own.push(cell.marks);
    rest.push(sum(whole.map((one) => (one === column ? 0 : (cells[one]?.marks ?? 0)))));
  }
  return {
    ...asked,
    facility: own.length === 0 ? null : sum(own) / own.length / asked.outOf,
    discrimination: own.length < fewest ? null : (correlation(own, rest) ?? null),
    by,
    slips: [...slips]
      .map(([slip, students]) => ({ slip, students }))
      .sort((a, b) => b.students.length - a.students.length || (a.slip < b.slip ? -1 : 1)),
    faults,
  };
}

/** The same in the form of `class.json`, by which it is said what is worth a word. */
export function asOfClass(
  { sheet, title, outOf, marks, questions }: SheetWhole,
  hintOf: (question: string, slip: string) => string,
): SheetOfClass {
  return {
    ...{ sheet, title, outOf, returns: marks.length },
    questions: questions.map(
      ({ question, asks, outOf: full, facility, discrimination, slips, by, faults }) => ({
        ...{ question, asks, outOf: full, discrimination },
        facility: facility ?? 0,
        slips: slips.map(({ slip, students }) => ({
          ...{ slip, hint: hintOf(question, slip), count: students.length },
        })),
        toRead: by.waits.length,
        faults: faults.length,
      }),
    ),
  };
}

function siValue(answer: PlainAnswer | undefined, unit: string): number | undefined {
  if (answer?.is === 'quantity') return Number(answer.value);
  if (answer?.is !== 'number' && answer?.is !== 'measured') return undefined;
  return fromUnit(Number(answer.value), unit);
}

/** Answers over what was expected of the student whose numbers these are, by question, for every question that asks for one number. */
export function answersOverExpected(
  key: AnyKey,
  { student, drawnFor = student, answers }: Pick<MarkRecord, 'student' | 'drawnFor' | 'answers'>,
): ReadonlyMap<string, number> {
  const given = givensFor(key.sheet, drawnFor);
  const found = openForms(key).flatMap((question) => {
    if (question.kind !== 'number') return [];
    const value = siValue(answers[question.id], question.unit);
    const ratio = value === undefined ? Number.NaN : value / question.expected(given);
    return Number.isFinite(ratio) ? [[question.id, ratio] as const] : [];
  });
  return new Map(found);
}

/** What the page is told of the class beside the marks. */
export interface WholeTold {
  /** Hints that were given, by `SHEET QUESTION SLIP`. */
  readonly hints: Readonly<Record<string, string>>;
  /** What the sheet asks, Markdown, by `SHEET QUESTION`. */
  readonly texts: Readonly<Record<string, string>>;
  readonly alike: readonly (SimilarityCluster & { readonly sheet: string })[];
}

/** Answers over expected values of one sheet. */
export interface RatiosTold {
  readonly question: string;
  readonly ratios: readonly { readonly student: string; readonly ratio: number }[];
}

/** A question worth a word in class, and why. */
interface ToDiscuss {
  readonly sheet: string;
  readonly question: string;
  readonly asks: string;
  readonly why: string;
}

const percent = (share: number) => `${Math.round(100 * share)} %`;

function reasons(
  { facility, discrimination, slips, toRead, faults }: QuestionOfClass,
  returns: number,
): string[] {
  if (toRead > 0) return [];
  const common = slips.filter(({ count }) => count >= Math.max(2, returns / 10));
  return [
    ...(facility < 0.5 ? [`${percent(facility)} of the marks were earned`] : []),
    ...(discrimination !== null && discrimination < 0.1 && facility < 0.95
      ? ['those who did well elsewhere did no better here: is the question clear?']
      : []),
    ...(faults >= Math.max(2, returns / 10)
      ? [`${faults} answers did not come out of their cells`]
      : []),
    ...common.slice(0, 2).map(({ slip, count }) => `${count} fell into “${slip}”`),
  ];
}

/** Questions that went badly, that do not tell students apart, or in which many made the same slip. */
export function toDiscuss(sheets: readonly SheetOfClass[]): ToDiscuss[] {
  return sheets.flatMap(({ sheet, returns, questions }) =>
    questions.flatMap((one) => {
      const why = reasons(one, returns).join('; ');
      return returns < 3 || why === ''
        ? []
        : [{ sheet, question: one.question, asks: one.asks, why }];
    }),
  );
}
