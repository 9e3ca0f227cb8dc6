import { type ChangedMark, withChangedMarks, withoutChange } from './changed-marks';
import type { ClassData, SheetOfStudent } from './class-data';
import type { QuestionMark } from './judge-return';
import { afterDeduction } from './late';

/** What `class.json` in a folder of marks holds, as far as it is looked through. */
export interface MarkedClass extends ClassData {
  readonly course?: string;
  readonly lockDown: string;
  readonly deadline: string | null;
  readonly latePercent: number;
  readonly counts: 'latest' | 'best';
}

/** A column: one question. */
export interface GridColumn {
  readonly sheet: string;
  readonly question: string;
  readonly asks: string;
  readonly outOf: number;
}

/** A sheet, and which columns are its questions: `from` up to, not with, `to`. */
export interface GridSheet {
  readonly sheet: string;
  readonly title: string;
  readonly outOf: number;
  readonly from: number;
  readonly to: number;
}

/** One answer of one student. */
export interface GridCell extends Pick<QuestionMark, 'state' | 'marks' | 'slip' | 'follows'> {
  /** What happened to its cell. */
  readonly fault?: NonNullable<QuestionMark['fault']>['is'];
  /** Changed by a person: what the mark was before, null where none was given yet. */
  readonly from?: number | null;
  /** Not yet in the tables and pages of the folder. */
  readonly isNew?: true;
}

export interface GridReturn
  extends Pick<
    SheetOfStudent,
    'time' | 'timeFrom' | 'daysLate' | 'held' | 'counted' | 'failure' | 'again'
  > {
  readonly path: string;
}

/** A row: one student. */
export interface GridStudent {
  readonly student: string;
  /** What counts of all sheets. */
  readonly total: number;
  /** Marks that wait for a person. */
  readonly waits: number;
  /** By sheet; null where nothing came back. */
  readonly returns: readonly (GridReturn | null)[];
  /** By column; null where nothing came back. */
  readonly cells: readonly (GridCell | null)[];
}

/** Students × questions of a class. Plain data: it travels to the page. */
export interface ClassGrid {
  readonly sheets: readonly GridSheet[];
  readonly columns: readonly GridColumn[];
  readonly students: readonly GridStudent[];
}

const tenth = (marks: number) => Math.round(10 * marks) / 10;

/** A written answer as a person has read it by now; undefined where that is not known, and the run's word holds. */
export type ReadNow = (
  student: string,
  sheet: string,
  mark: QuestionMark,
) => QuestionMark | undefined;

const asItStood: ReadNow = () => undefined;

/**
 * The marks of a class as they stand when `changes` lie over what the last run gave.
 *
 * @param changes what people changed, as it stands now; of the run's own only what stands here is kept
 * @param readNow what people made of written answers, as it stands now
 */
export function classGrid(
  marked: MarkedClass,
  changes: readonly ChangedMark[],
  readNow: ReadNow = asItStood,
): ClassGrid {
  const columns: GridColumn[] = [];
  const sheets = marked.sheets.map(({ sheet, title, outOf, questions }): GridSheet => {
    const from = columns.length;
    for (const { question, asks, outOf: marks } of questions)
      columns.push({ sheet, question, asks, outOf: marks });
    return { sheet, title, outOf, from, to: columns.length };
  });
  const perDay = marked.deadline === null ? 0 : marked.latePercent / 100;
  const byStudent = new Map<string, ChangedMark[]>();
  for (const one of changes)
    byStudent.set(one.student, [...(byStudent.get(one.student) ?? []), one]);

  const students = marked.students.map(({ student, sheets: own }): GridStudent => {
    const now = marksNow(student, own, byStudent.get(student) ?? [], readNow);
    const returns = sheets.map(({ sheet }) => now.find((one) => one.sheet === sheet));
    const cells = sheets.flatMap(({ from, to }, at) => {
      const marks = new Map(returns[at]?.questions.map((mark) => [mark.question, mark]));
      return columns.slice(from, to).map(({ question }) => {
        const mark = marks.get(question);
        return mark ? cellOf(mark, returns[at]?.before.get(question)) : null;
      });
    });
    const told = returns.map((one) => one && returnOf(one, perDay));
    return {
      student,
      total: tenth(told.reduce((sum, one) => sum + (one?.counted ?? 0), 0)),
      waits: now
        .flatMap(({ questions }) => questions)
        .reduce((sum, { state, outOf }) => sum + (state === 'to be read' ? outOf : 0), 0),
      returns: told.map((one) => one ?? null),
      cells,
    };
  });
  return { sheets, columns, students };
}

type SheetNow = SheetOfStudent & { readonly before: ReadonlyMap<string, QuestionMark> };

/** The sheets of a student with all that people set and read by now, beside what the last run gave. */
export function marksNow(
  student: string,
  own: readonly SheetOfStudent[],
  changes: readonly ChangedMark[],
  readNow: ReadNow,
): SheetNow[] {
  const bare = own.map((one) => ({
    ...one,
    student,
    before: new Map(one.questions.map((mark) => [mark.question, mark])),
    questions: one.questions.map((mark) => {
      const bare = withoutChange(mark);
      return bare.state === 'to be read' || bare.isRead
        ? (readNow(student, one.sheet, bare) ?? bare)
        : bare;
    }),
  }));
  return withChangedMarks(bare, changes);
}

function cellOf(mark: QuestionMark, before: QuestionMark | undefined): GridCell {
  const { state, marks, slip, follows, fault, changed } = mark;
  const isNew =
    changed?.reason !== before?.changed?.reason ||
    (before?.marks ?? 0) !== marks ||
    (before?.state === 'to be read') !== (state === 'to be read');
  return {
    ...{ state, marks },
    ...(slip === undefined ? {} : { slip }),
    ...(follows === undefined ? {} : { follows }),
    ...(fault === undefined ? {} : { fault: fault.is }),
    ...(changed === undefined ? {} : { from: changed.from }),
    ...(isNew ? { isNew: true } : {}),
  };
}

/** Days late do not hang on marks; what they cost does. */
function returnOf(one: SheetNow, perDay: number): GridReturn {
  const { time, timeFrom, daysLate, held, failure, path, questions, again } = one;
  const marks = questions.reduce((sum, mark) => sum + mark.marks, 0);
  return {
    ...{ time, daysLate, path },
    counted: held === undefined ? afterDeduction(marks, daysLate, perDay, again?.most) : marks,
    ...(timeFrom === undefined ? {} : { timeFrom }),
    ...(held === undefined ? {} : { held }),
    ...(again === undefined ? {} : { again }),
    ...(failure === undefined ? {} : { failure }),
  };
}
