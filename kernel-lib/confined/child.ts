import { readSync, writeSync } from 'node:fs';
import { currentCell, latestCell } from '../kernel/cell-context';
import { cellLibrary } from '../kernel/cell-library';
import { installGuards } from '../kernel/guards';
import { createModules } from '../kernel/modules';
import type { CellTold } from '../marking/read-run';
import { isBlank, type PlainAnswer, plainAnswer } from '../questions/answer';
import { sheetFrom } from './closed-sheet';
import { bounds, type Job, type JobCell, studentSlot, type Told } from './job';
import { idleWatch, placeOf, runCells, stoppedError } from './run-cells';
import { callInTime } from './run-code';

// One return runs here and then this process ends. It holds no key and no other return, and what leaves it
// by this channel is only ever judged as answers of this one student.
const channel = 3;
const write = writeSync;
const exit = process.exit.bind(process);
const stringify = JSON.stringify;

function tell(told: Told): void {
  let left = Buffer.from(`${stringify(told)}\n`);
  while (left.length > 0) {
    try {
      left = left.subarray(write(channel, left));
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
    }
  }
}

/** The job, one line of JSON on standard input, up to its end. */
function readJob(): Job {
  const pieces: Buffer[] = [];
  const piece = Buffer.alloc(65_536);
  for (;;) {
    let length = 0;
    try {
      length = readSync(0, piece);
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (code === 'EAGAIN') continue;
      if (code !== 'EOF') throw error;
    }
    if (length === 0) break;
    pieces.push(Buffer.from(piece.subarray(0, length)));
  }
  return JSON.parse(Buffer.concat(pieces).toString());
}

interface Handed {
  readonly answers: Readonly<Record<string, PlainAnswer>>;
  /** Of questions: a function that did not get the time that it asked for, or the place where it stopped with an error. */
  readonly told: readonly CellTold[];
}

function handAnswers({ sheet, student, questions, cellTime }: Job): Handed {
  const work = cellLibrary().workNow();
  if (!work || work.student !== student || work.sheet.name !== sheet.name)
    return { answers: {}, told: [] };
  const answers: [string, PlainAnswer][] = [];
  const told: CellTold[] = [];
  for (const { id, sampling } of questions) {
    if (!work.answers.has(id)) continue;
    tell({ at: 'question', id });
    const isIdle = idleWatch();
    const what = sampling ? 'Your function' : 'A look at your answer';
    const { handed, thrown } = watched(work.answers.get(id));
    const answer = inTime(() => plainAnswer(handed, sampling), what, cellTime);
    answers.push([id, answer]);
    if (answer.is !== 'failed') continue;
    const place = placeOf(thrown());
    if (isIdle()) told.push({ id, error: stoppedError(answer.problem, true) });
    else if (place) told.push({ id, error: { name: 'Error', message: answer.problem, ...place } });
  }
  return { answers: Object.fromEntries(answers), told };
}

/** A function that remembers what it threw last; anything else as it is. */
function watched(answer: unknown): { handed: unknown; thrown: () => unknown } {
  if (typeof answer !== 'function' || isBlank(answer))
    return { handed: answer, thrown: () => undefined };
  let last: unknown;
  const handed = (...point: unknown[]) => {
    try {
      return answer(...point);
    } catch (error) {
      last = error;
      throw error;
    }
  };
  Object.defineProperty(handed, 'length', { value: answer.length });
  return { handed, thrown: () => last };
}

function inTime(call: () => PlainAnswer, what: string, cellTime: number): PlainAnswer {
  try {
    return callInTime(call, cellTime);
  } catch {
    const problem = `${what} did not end within ${cellTime / 1000} s, so it was stopped.`;
    return { is: 'failed', problem };
  }
}

async function main(): Promise<void> {
  installGuards();
  const modules = createModules(process.cwd(), new Map());
  const library = cellLibrary();
  // What the sheet's own cells show is the same for everybody and is not even drawn.
  let shows = false;
  library.setDisplayPort({
    get silent() {
      return !shows;
    },
    show: (bundle, metadata, id) => (currentCell() ?? latestCell())?.show(bundle, metadata, id),
    update: (id, bundle) => (currentCell() ?? latestCell())?.update(id, bundle),
    clear: () => (currentCell() ?? latestCell())?.clear(false),
  });
  tell({ at: 'ready' });
  const job = readJob();
  const sheet = sheetFrom(job.sheet);
  library.setSheetSource(
    (name) => (name === sheet.name ? sheet : undefined),
    () => [sheet.name],
  );
  (globalThis as Record<symbol, unknown>)[Symbol.for(studentSlot)] = job.student;
  const onCell = ({ id, shows: isShown }: JobCell) => {
    shows = isShown === true;
    tell({ at: 'cell', id });
  };
  const ran = await runCells(job.cells, modules, job.cellTime, onCell);
  shows = false;
  const { answers, told } = handAnswers(job);
  const cells = [...ran, ...told];
  const end: Told = { at: 'end', answers, cells };
  if (stringify(end).length <= bounds.line) tell(end);
  else tell({ ...end, cells: cells.map(({ outputs, ...cell }) => cell) });
  exit(0);
}

void main();
