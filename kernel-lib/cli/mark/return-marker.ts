import type { Confinement } from '../../confined/confine';
import { converterProcess } from '../../confined/converter-process';
import { studentSlot } from '../../confined/job';
import type { LineProcess } from '../../confined/line-process';
import { type RunLimits, runReturn } from '../../confined/run-return';
import { cellsToRun, type FoundReturn, notebookFrom } from '../../marking/found-return';
import { judgeReturn, type QuestionMark, samplings } from '../../marking/judge-return';
import type { MarkRecord } from '../../marking/record';
import { writtenAnswers } from '../../marking/written-answers';
import { givensFor } from '../../questions/begin';
import type { PlainAnswer } from '../../questions/plain-answer';
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

type Ran = Pick<MarkRecord, 'cells' | 'failure' | 'typed'> & {
  answers: ReadonlyMap<string, PlainAnswer>;
};

function recordOf(toMark: ToMark, ran: string, run: Ran, old: MarkRecord | undefined): MarkRecord {
  const { found, sheet } = toMark;
  const { key, original } = sheet;
  const written = writtenAnswers(original, notebookFrom(found.text));
  const questions: QuestionMark[] = judgeReturn(
    key,
    givensFor(key.sheet, found.student),
    run.answers,
  ).map((mark) =>
    mark.state === 'to be read' && !Object.hasOwn(written, mark.question)
      ? { ...mark, state: 'not yet', message: 'Nothing was written.' }
      : mark,
  );
  const typed = run.typed ?? (old?.ran === ran ? old.typed : undefined);
  return {
    student: found.student,
    sheet: sheet.name,
    path: found.path,
    time: found.time === undefined ? null : new Date(found.time).toISOString(),
    ...(found.from === undefined ? {} : { timeFrom: found.from }),
    ...(found.doubt === undefined ? {} : { doubt: found.doubt }),
    ...(found.note === undefined ? {} : { note: found.note }),
    ...(found.flags === undefined ? {} : { flags: found.flags }),
    ...(typed === undefined || found.typed === undefined ? {} : { typed }),
    ran,
    key: sheet.keyDigest,
    questions,
    ...(run.failure === undefined ? {} : { failure: run.failure }),
    cells: run.cells.filter(({ error, outputs }) => error || outputs),
    answers: Object.fromEntries(run.answers),
    written,
  };
}

/** A cell that was stopped may have met a busy machine or too short a limit: it gets another chance. */
const wasStopped = ({ failure, cells }: MarkRecord) =>
  failure !== undefined || cells.some(({ error }) => error?.name === 'Stopped');

/** The record without running anything: as it was, or judged again with a changed key. Undefined when it must run. */
export function recordWithoutRun(
  toMark: ToMark,
  old: MarkRecord | undefined,
): MarkRecord | undefined {
  if (!old || wasStopped(old)) return undefined;
  const given = givensFor(toMark.sheet.key.sheet, toMark.found.student);
  const ran = ranDigest(toMark, given);
  if (old.ran !== ran) return undefined;
  const answers = new Map(Object.entries(old.answers));
  return recordOf(toMark, ran, { ...old, answers }, old);
}

/** Checking a cell's types takes as long on a busy machine, however short cells may run. ms */
const shortestCheck = 10_000;

/** Runs returns one after the other; the child of the next is started while one runs. */
export function returnMarker(confinement: Confinement, limits: RunLimits) {
  const converter = converterProcess(confinement, Math.max(limits.cell, shortestCheck));
  let idle: { sheet: string; child: LineProcess } | undefined;

  function childFor(sheet: string): LineProcess {
    const ready = idle;
    idle = undefined;
    if (ready?.sheet === sheet) return ready.child;
    ready?.child.kill();
    return confinement.startChild(sheet);
  }

  return {
    /** @param next name of the sheet that will be marked after this one */
    async mark(
      toMark: ToMark,
      old: MarkRecord | undefined,
      next: string | undefined,
    ): Promise<MarkRecord> {
      const run = await runAs(toMark, toMark.found.student, next);
      const ran = ranDigest(toMark, givensFor(toMark.sheet.key.sheet, toMark.found.student));
      const typed = await judgedAsTyped(toMark, next);
      return recordOf(toMark, ran, { ...run, ...(typed ? { typed } : {}) }, old);
    },
    close() {
      converter.kill();
      idle?.child.kill();
    },
  };

  /** The return judged with the number that stands in it, where that is nobody's. */
  async function judgedAsTyped(
    toMark: ToMark,
    next: string | undefined,
  ): Promise<MarkRecord['typed']> {
    const { found, sheet } = toMark;
    if (found.typed === undefined) return undefined;
    const run = await runAs(toMark, found.typed, next);
    const marks = judgeReturn(sheet.key, givensFor(sheet.key.sheet, found.typed), run.answers);
    return {
      number: found.typed,
      marks: Object.fromEntries(marks.map(({ question, marks: earned }) => [question, earned])),
    };
  }

  async function runAs({ found, sheet }: ToMark, student: string, next: string | undefined) {
    const given = givensFor(sheet.key.sheet, student);
    const cells = cellsToRun(sheet.original, notebookFrom(found.text), studentSlot, numberInCode);
    const asked = {
      sheet: sheet.name,
      student,
      cells,
      questions: samplings(sheet.key, given),
    };
    const nextChild = () => {
      const child = childFor(sheet.name);
      if (next !== undefined) idle = { sheet: next, child: confinement.startChild(next) };
      return child;
    };
    return runReturn(asked, converter, nextChild, limits);
  }
}
