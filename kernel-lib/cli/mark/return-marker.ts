import { closedSheet } from '../../confined/closed-sheet';
import type { Confinement } from '../../confined/confine';
import { converterProcess } from '../../confined/converter-process';
import { studentSlot } from '../../confined/job';
import type { LineProcess } from '../../confined/line-process';
import { type RunLimits, runReturn } from '../../confined/run-return';
import { cellsToRun, type FoundReturn, notebookFrom } from '../../marking/found-return';
import { judgeReturn, type QuestionMark, samplings } from '../../marking/judge-return';
import type { MarkRecord } from '../../marking/record';
import { withReasons } from '../../marking/with-reasons';
import { writtenAnswers } from '../../marking/written-answers';
import { type PlainAnswer, readAnswer } from '../../questions/answer';
import { givensFor } from '../../questions/draw';
import { numberInCode } from './number-in-code';
import { digestOf, type SheetToMark } from './sheets-to-mark';

/** A return with all that is needed to mark it. */
export interface ToMark {
  readonly found: FoundReturn;
  readonly sheet: SheetToMark;
}

/** What a run of this return depends on. */
export function ranDigest({ found, sheet }: ToMark, given: object): string {
  const points = JSON.stringify(samplings(sheet.key, given));
  const typed = found.typed === undefined ? [] : [found.typed];
  return digestOf(found.student, found.digest, sheet.digest, points, ...typed);
}

type Ran = Pick<MarkRecord, 'cells' | 'failure' | 'says' | 'stopped' | 'typed'> & {
  answers: ReadonlyMap<string, PlainAnswer>;
};

function recordOf(toMark: ToMark, ran: string, run: Ran, old: MarkRecord | undefined): MarkRecord {
  const { found, sheet } = toMark;
  const { key, original } = sheet;
  const returned = notebookFrom(found.text);
  const written = writtenAnswers(original, returned);
  const judged: QuestionMark[] = judgeReturn(
    key,
    givensFor(key.sheet, found.student),
    run.answers,
  ).map((mark) =>
    mark.state === 'to be read' && !Object.hasOwn(written, mark.question)
      ? { ...mark, state: 'not yet', message: 'Nothing was written.' }
      : mark,
  );
  const questions = withReasons(judged, { ...run, original, returned });
  const note = [found.note, run.says].filter((part) => part !== undefined).join(' ');
  const typed = run.typed ?? (old?.ran === ran ? old.typed : undefined);
  return {
    student: found.student,
    sheet: sheet.name,
    path: found.path,
    time: found.time === undefined ? null : new Date(found.time).toISOString(),
    ...(found.from === undefined ? {} : { timeFrom: found.from }),
    ...(found.doubt === undefined ? {} : { doubt: found.doubt }),
    ...(note === '' ? {} : { note }),
    ...(found.flags === undefined ? {} : { flags: found.flags }),
    ...(typed === undefined || found.typed === undefined ? {} : { typed }),
    ran,
    key: sheet.keyDigest,
    questions,
    ...(run.failure === undefined ? {} : { failure: run.failure }),
    ...(run.says === undefined ? {} : { says: run.says }),
    ...(run.stopped === undefined ? {} : { stopped: run.stopped }),
    cells: run.cells.filter(({ error, outputs }) => error || outputs),
    answers: Object.fromEntries(run.answers),
    written,
  };
}

const isStopped = ({ error }: Pick<MarkRecord['cells'][number], 'error'>) =>
  error?.name === 'Stopped';

/** Something was stopped: by too short a limit, by a busy machine, or because it never ends. */
export const wasStopped = ({ failure, cells }: Pick<MarkRecord, 'failure' | 'cells'>): boolean =>
  failure !== undefined || cells.some(isStopped);

/** True where a busy machine may have stopped it: what ran had little of the processor. */
export const mayHaveMetABusyMachine = (record: Pick<MarkRecord, 'failure' | 'cells'>): boolean =>
  record.failure !== undefined ||
  record.cells.some((cell) => isStopped(cell) && cell.error?.idle === true);

const isWithin = (limits: RunLimits, before: RunLimits) =>
  limits.cell <= before.cell && limits.sheet <= before.sheet;

/** Stopped twice with the same limits or longer ones: a third time would end the same way. */
const isSettled = ({ stopped }: MarkRecord, limits: RunLimits) =>
  stopped !== undefined && stopped.times >= 2 && isWithin(limits, stopped);

/** The record without running anything: as it was, or judged again with a changed key. Undefined when it must run. */
export function recordWithoutRun(
  toMark: ToMark,
  old: MarkRecord | undefined,
  limits: RunLimits,
): MarkRecord | undefined {
  if (!old || (wasStopped(old) && !isSettled(old, limits))) return undefined;
  const given = givensFor(toMark.sheet.key.sheet, toMark.found.student);
  const ran = ranDigest(toMark, given);
  if (old.ran !== ran) return undefined;
  const kept = Object.entries(old.answers).map(([id, answer]) => [id, readAnswer(answer)] as const);
  const answers = new Map(kept);
  return recordOf(toMark, ran, { ...old, answers }, old);
}

/** Runs returns one after the other; the child of the next is started while one runs. */
export function returnMarker(confinement: Confinement, limits: RunLimits) {
  const converter = converterProcess(confinement, limits.sheet);
  let idle: LineProcess | undefined;

  return {
    /**
     * @param old the record that stood before
     * @param isLast nothing will be marked after this one
     * @param times how often this very text was stopped before
     */
    async mark(
      toMark: ToMark,
      old: MarkRecord | undefined,
      { isLast, times }: { isLast: boolean; times: number },
    ): Promise<MarkRecord> {
      const run = await runAs(toMark, toMark.found.student, isLast);
      const typed = await judgedAsTyped(toMark, isLast);
      const stopped = wasStopped(run) ? { stopped: { times: times + 1, ...limits } } : {};
      const ran = ranDigest(toMark, givensFor(toMark.sheet.key.sheet, toMark.found.student));
      return recordOf(toMark, ran, { ...run, ...stopped, ...(typed ? { typed } : {}) }, old);
    },
    close() {
      converter.kill();
      idle?.kill();
    },
  };

  /** The return judged with the number that stands in it, where that is nobody's. */
  async function judgedAsTyped(toMark: ToMark, isLast: boolean): Promise<MarkRecord['typed']> {
    const { found, sheet } = toMark;
    if (found.typed === undefined) return undefined;
    const run = await runAs(toMark, found.typed, isLast);
    const marks = judgeReturn(sheet.key, givensFor(sheet.key.sheet, found.typed), run.answers);
    return {
      number: found.typed,
      marks: Object.fromEntries(marks.map(({ question, marks: earned }) => [question, earned])),
    };
  }

  async function runAs({ found, sheet }: ToMark, student: string, isLast: boolean) {
    const given = givensFor(sheet.key.sheet, student);
    const own = new Set(sheet.original.cells.map(({ id }) => id));
    const cells = cellsToRun(sheet.original, notebookFrom(found.text), studentSlot, numberInCode);
    const asked = {
      sheet: closedSheet(sheet.key.sheet, student),
      student,
      cells: cells.map((cell) => ({ ...cell, isAdded: !own.has(cell.id) })),
      questions: samplings(sheet.key, given),
    };
    const nextChild = () => {
      const child = idle ?? confinement.startChild();
      idle = isLast ? undefined : confinement.startChild();
      return child;
    };
    return runReturn(asked, converter, nextChild, limits);
  }
}

/** How often the text of a return was stopped before with these limits or longer ones, as its record says. */
export function timesStopped(
  toMark: ToMark,
  old: MarkRecord | undefined,
  limits: RunLimits,
): number {
  const { sheet, found } = toMark;
  if (!old?.stopped || !isWithin(limits, old.stopped)) return 0;
  const isSame = old.ran === ranDigest(toMark, givensFor(sheet.key.sheet, found.student));
  return isSame ? old.stopped.times : 0;
}
