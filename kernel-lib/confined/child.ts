import { readSync, writeSync } from 'node:fs';
import type { CellSink, OwnedContext } from '../cells/run/cell-context';
import { isInterrupted } from '../cells/run/cell-context';
import { attempt, withoutHolder } from '../cells/run/cell-errors';
import { isShown, valueBundle } from '../cells/run/output';
import { type CellRunner, createCellRunner, type Ran } from '../cells/run/run-cell';
import { createRuntime } from '../cells/run/runtime';
import type { MimeBundle } from '../display/bundle';
import { nodeHost } from '../kernel/node-host';
import type { CellReport } from '../marking/run-report';
import { type CellOutput, fullRoom, outputBounds } from '../marking/run-report';
import { isBlank, type PlainAnswer, plainAnswer } from '../questions/answer';
import { bounds, type ChildMessage, type Job, type JobCell, sheetFrom, studentSlot } from './job';

// One return runs here and then this process ends. It holds no key and no other return, and what leaves it
// by this channel is only ever judged as answers of this one student.
const channel = 3;
const write = writeSync;
const exit = process.exit.bind(process);
const stringify = JSON.stringify;
const { cpuUsage } = process;
const { now: wallTime } = performance;

/** This process has no other work: its host cuts off what takes too long. */
const host = nodeHost({ limited: true });
const runtime = createRuntime(host);
const { errors, library } = runtime;

function tell(message: ChildMessage): void {
  let left = Buffer.from(`${stringify(message)}\n`);
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
  readonly told: readonly CellReport[];
}

function handAnswers({ sheet, student, questions, cellTime }: Job): Handed {
  const work = library.names().workNow();
  if (!work || work.student !== student || work.sheet.name !== sheet.name)
    return { answers: {}, told: [] };
  const answers: [string, PlainAnswer][] = [];
  const told: CellReport[] = [];
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
  // What is asked of a function beside its values: how many arguments it takes, and how it is written.
  Object.defineProperties(handed, {
    length: { value: answer.length },
    toString: { value: () => Function.prototype.toString.call(answer) },
  });
  return { handed, thrown: () => last };
}

function inTime(call: () => PlainAnswer, what: string, cellTime: number): PlainAnswer {
  try {
    return host.inTime!(call, cellTime);
  } catch {
    const problem = `${what} did not end within ${cellTime / 1000} s, so it was stopped.`;
    return { is: 'failed', problem };
  }
}

/** A cell's outputs, and what of its context only the runner has. */
interface Running extends OwnedContext {
  readonly gathered: Gathered;
}

/** The context of one cell: keeps some of what it prints and shows. */
function begin(gathered: Gathered): Running {
  const sink: CellSink = {
    write: (name, text) => gathered.print(name, withoutHolder(String(text))),
    show: (bundle, _, id) => gathered.show('shown', bundle, id),
    update: gathered.update,
    clear: gathered.clear,
    fail() {},
  };
  return { ...runtime.cells.contextFor(sink), gathered };
}

const cutShort = {
  is: 'printed',
  name: 'stderr',
  text: '\nMore came out of this cell than is kept.\n',
} as const;

/** A watch that tells whether less than half of the time that went by was spent on the processor, from 1 s on. */
function idleWatch(): () => boolean {
  const began = wallTime.call(performance);
  const used = cpuUsage();
  return () => {
    const passed = wallTime.call(performance) - began;
    const { user, system } = cpuUsage(used);
    return passed > 1000 && (user + system) / 1000 < passed / 2;
  };
}

/**
 * Run cells one after the other, sharing their variables. A cell that fails does not stop those after it.
 *
 * @param onCell told before each cell
 */
async function runCells(
  { cells, cellTime }: Job,
  onCell: (cell: JobCell) => void,
): Promise<CellReport[]> {
  const reports: CellReport[] = [];
  const gather = outputGatherer();
  let now = begin(gather());
  const runner = createCellRunner(runtime, {
    cwd: process.cwd(),
    sideFiles: new Map(),
    timeLimit: cellTime,
    printsTo: () => now.context,
  });
  for (const [i, cell] of cells.entries()) {
    onCell(cell);
    now = begin(gather());
    const { gathered } = now;
    const isIdle = idleWatch();
    const ran = await runner.run(now, () => ({ source: '', count: i + 1, code: cell }));
    if (ran.script) cellOfScript.set(ran.script, cell);
    const thrown = await outcomeOf(cell, ran, now, runner);
    gathered.settle();
    const error =
      thrown && (await inWords(thrown.thrown, ran.script, runner, now, cellTime, isIdle()));
    reports.push({
      id: cell.id,
      ...(gathered.outputs.length > 0 ? { outputs: [...gathered.outputs] } : {}),
      ...(error ? { error } : {}),
    });
  }
  return reports;
}

/** Show a cell's last value; what was thrown, by it or by a look at that value. */
async function outcomeOf(
  { shows }: JobCell,
  { outcome }: Ran,
  now: Running,
  runner: CellRunner,
): Promise<{ readonly thrown: unknown } | undefined> {
  if (!outcome || 'thrown' in outcome) return outcome;
  if (!shows) return undefined;
  const value = outcome.result?.[0];
  const looked = await runner.look(now, () => {
    if (isShown(value)) now.gathered.show('value', valueBundle(value, host));
  });
  return 'thrown' in looked ? looked : undefined;
}

/** A student's own photograph was there at home; whoever reads the marks should know why it is not here. */
function withFilesNote(code: unknown, message: string): string {
  return code === 'ENOENT' || code === 'ERR_ACCESS_DENIED'
    ? `${message} (While a sheet is marked only files are there that were handed in with it and lie in its own folder.)`
    : message;
}

/** The cell of each script that ran. */
const cellOfScript = new Map<string, JobCell>();

/** The topmost place of an error's stack that lies in a cell. */
function placeOf(error: unknown): { cell: string; line: number; column: number } | undefined {
  for (const { script, line, column } of errors.emittedFrames(error)) {
    const cell = cellOfScript.get(script)?.id;
    if (cell !== undefined) return { cell, line, column };
  }
  return undefined;
}

/** What is told of a cell that was stopped. */
const stoppedError = (message: string, isIdle: boolean): NonNullable<CellReport['error']> => ({
  name: 'Stopped',
  message,
  ...(isIdle ? { idle: true } : {}),
});

/** What a cell threw, in words; looking at it may throw and is cut off like a cell. */
async function inWords(
  error: unknown,
  script: string | undefined,
  runner: CellRunner,
  now: Running,
  cellTime: number,
  isIdle: boolean,
): Promise<NonNullable<CellReport['error']>> {
  const message = `The cell ran longer than ${cellTime / 1000} s and was stopped.`;
  if (isInterrupted(error)) return stoppedError(message, isIdle);
  const looked = await runner.look(now, () => {
    const code = attempt(() => (error as NodeJS.ErrnoException | null)?.code, undefined);
    const { ename, evalue } = errors.describe(error);
    const at = errors.emittedFrames(error).find((frame) => frame.script === script);
    return {
      name: ename.slice(0, 80),
      message: withFilesNote(code, evalue).slice(0, bounds.message),
      ...(at ? { line: at.line, column: at.column } : {}),
    };
  });
  if ('found' in looked) return looked.found;
  return { name: 'Thrown', message: 'Something that cannot be read was thrown.' };
}

type Gathered = ReturnType<ReturnType<typeof outputGatherer>>;

/** Gathers what the cells of one return print and show, within the bounds that the marker will hold it to. */
function outputGatherer() {
  const room = fullRoom();

  /** For one cell. */
  return function gather() {
    const outputs: CellOutput[] = [];
    let left = outputBounds.text;
    let isCut = false;
    /** Where the displays stand that can be changed, and the last that each was to show. */
    const places = new Map<string, number>();
    const changes = new Map<string, MimeBundle>();

    function cut(text: string): string {
      const most = Math.max(0, Math.min(left, room.text));
      if (text.length > most) isCut = true;
      const kept = text.slice(0, most);
      left -= kept.length;
      room.text -= kept.length;
      return kept;
    }

    /** Say that more came, in the room of the last of what is kept: the marker's bounds leave none beside it. */
    function tellCut(): void {
      if (outputs.length >= outputBounds.outputs) outputs.length = outputBounds.outputs - 1;
      const last = outputs.at(-1);
      if (last)
        outputs[outputs.length - 1] = { ...last, text: last.text.slice(0, -cutShort.text.length) };
      outputs.push(cutShort);
    }

    function pictureOf(bundle: MimeBundle): { png?: string } {
      const png = bundle['image/png'];
      if (typeof png !== 'string' || png.length > Math.min(outputBounds.png, room.png)) return {};
      room.png -= png.length;
      return { png };
    }

    return {
      outputs,
      print(name: 'stdout' | 'stderr', text: string): void {
        const last = outputs.at(-1);
        const same = last?.is === 'printed' && last.name === name;
        if (!same && outputs.length >= outputBounds.outputs) isCut = true;
        if (isCut) return;
        const kept = cut(text);
        if (same) outputs[outputs.length - 1] = { ...last, text: last.text + kept };
        else if (kept !== '') outputs.push({ is: 'printed', name, text: kept });
      },
      /** Only plain text and PNG leave; other forms of a bundle are never even made. */
      show(is: 'shown' | 'value', bundle: MimeBundle, id?: string): void {
        if (outputs.length >= outputBounds.outputs) isCut = true;
        if (isCut) return;
        if (id !== undefined) places.set(id, outputs.length);
        const text = bundle['text/plain'];
        outputs.push({
          is,
          text: cut(typeof text === 'string' ? text : ''),
          ...pictureOf(bundle),
        });
      },
      /** Only what a display shows at the end is kept. */
      update(id: string, bundle: MimeBundle): void {
        if (places.has(id)) changes.set(id, bundle);
      },
      /** The cell has ended: put into place what its displays show last. */
      settle(): void {
        for (const [id, bundle] of changes) {
          const text = bundle['text/plain'];
          const kept = cut(typeof text === 'string' ? text : '');
          outputs[places.get(id)!] = { is: 'shown', text: kept, ...pictureOf(bundle) };
        }
        changes.clear();
        if (isCut) tellCut();
      },
      clear(): void {
        outputs.length = 0;
        places.clear();
        changes.clear();
      },
    };
  };
}

async function main(): Promise<void> {
  runtime.guard();
  const { currentOrLast } = runtime.cells;
  const names = library.names();
  // What the sheet's own cells show is the same for everybody and is not even drawn.
  let shows = false;
  names.setDisplayPort({
    get silent() {
      return !shows;
    },
    show: (bundle, metadata, id) => currentOrLast()?.show(bundle, metadata, id),
    update: (id, bundle) => currentOrLast()?.update(id, bundle),
    clear: () => currentOrLast()?.clear(false),
  });
  tell({ at: 'ready' });
  const job = readJob();
  const sheet = sheetFrom(job.sheet);
  names.setSheetSource(
    (name) => (name === sheet.name ? sheet : undefined),
    () => [sheet.name],
  );
  (globalThis as Record<symbol, unknown>)[Symbol.for(studentSlot)] = job.student;
  const onCell = ({ id, shows: isShown }: JobCell) => {
    shows = isShown === true;
    tell({ at: 'cell', id });
  };
  const ran = await runCells(job, onCell);
  shows = false;
  const { answers, told } = handAnswers(job);
  const cells = [...ran, ...told];
  const end: ChildMessage = { at: 'end', answers, cells };
  if (stringify(end).length <= bounds.line) tell(end);
  else tell({ ...end, cells: cells.map(({ outputs, ...cell }) => cell) });
  exit(0);
}

void main();
