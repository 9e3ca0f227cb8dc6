import type { Confinement } from '../../confined/confine';
import { converterProcess } from '../../confined/converter-process';
import { studentSlot } from '../../confined/job';
import type { LineProcess } from '../../confined/line-process';
import { type RunLimits, runReturn } from '../../confined/run-return';
import { cellsToRun, type FoundReturn, notebookFrom } from '../../marking/found-return';
import { judgeReturn, type QuestionMark, samplings } from '../../marking/judge-return';
import { type MarkRecord, marksBefore } from '../../marking/record';
import { writtenAnswers } from '../../marking/written-answers';
import { givensFor } from '../../questions/begin';
import type { PlainAnswer } from '../../questions/plain-answer';
import { digestOf, type SheetToMark } from './sheets-to-mark';

/** A return with all that is needed to mark it. */
export interface ToMark {
  readonly found: FoundReturn;
  readonly sheet: SheetToMark;
}

/** What a run of this return depends on. */
export function ranDigest({ found, sheet }: ToMark, given: object): string {
  const points = JSON.stringify(samplings(sheet.key, given));
  return digestOf(found.student, found.digest, sheet.digest, points);
}

type Ran = Pick<MarkRecord, 'cells' | 'failure'> & { answers: ReadonlyMap<string, PlainAnswer> };

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
  const before = marksBefore(old, questions);
  return {
    student: found.student,
    sheet: sheet.name,
    path: found.path,
    time: found.time === undefined ? null : new Date(found.time).toISOString(),
    ...(found.note === undefined ? {} : { note: found.note }),
    ran,
    key: sheet.keyDigest,
    questions,
    ...(run.failure === undefined ? {} : { failure: run.failure }),
    cells: run.cells.filter(({ error, outputs }) => error || outputs),
    answers: Object.fromEntries(run.answers),
    written,
    ...(before === undefined ? {} : { before }),
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
      const { found, sheet } = toMark;
      const given = givensFor(sheet.key.sheet, found.student);
      const cells = cellsToRun(sheet.original, notebookFrom(found.text), studentSlot);
      const asked = {
        sheet: sheet.name,
        student: found.student,
        cells,
        questions: samplings(sheet.key, given),
      };
      const nextChild = () => {
        const child = childFor(sheet.name);
        if (next !== undefined) idle = { sheet: next, child: confinement.startChild(next) };
        return child;
      };
      const run = await runReturn(asked, converter, nextChild, limits);
      return recordOf(toMark, ranDigest(toMark, given), run, old);
    },
    close() {
      converter.kill();
      idle?.child.kill();
    },
  };
}
