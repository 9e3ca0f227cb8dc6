import { readSync, writeSync } from 'node:fs';
import { currentCell, latestCell } from '../kernel/cell-context';
import { cellLibrary } from '../kernel/cell-library';
import { installGuards } from '../kernel/guards';
import { createModules } from '../kernel/modules';
import { type PlainAnswer, plainAnswer } from '../questions/plain-answer';
import { bounds, type Job, type JobCell, studentSlot, type Told } from './job';
import { runCells } from './run-cells';
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

function handAnswers({ sheet, student, questions, cellTime }: Job): object {
  const work = cellLibrary().workNow();
  if (!work || work.student !== student || work.sheet.name !== sheet) return {};
  const answers: [string, PlainAnswer][] = [];
  for (const { id, sampling } of questions) {
    if (!work.answers.has(id)) continue;
    tell({ at: 'question', id });
    answers.push([id, inTime(() => plainAnswer(work.answers.get(id), sampling), cellTime)]);
  }
  return Object.fromEntries(answers);
}

function inTime(call: () => PlainAnswer, cellTime: number): PlainAnswer {
  try {
    return callInTime(call, cellTime);
  } catch {
    const problem = `Your function did not end within ${cellTime / 1000} s.`;
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
  (globalThis as Record<symbol, unknown>)[Symbol.for(studentSlot)] = job.student;
  const onCell = ({ id, shows: isShown }: JobCell) => {
    shows = isShown === true;
    tell({ at: 'cell', id });
  };
  const cells = await runCells(job.cells, modules, job.cellTime, onCell);
  shows = false;
  const answers = handAnswers(job);
  const end: Told = { at: 'end', answers, cells };
  if (stringify(end).length <= bounds.line) tell(end);
  else tell({ ...end, cells: cells.map(({ outputs, ...cell }) => cell) });
  exit(0);
}

void main();
