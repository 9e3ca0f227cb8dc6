import { Session } from 'node:inspector';
import { endChildren } from './processes';

/**
 * What the control thread can see of the main thread at any time, in shared memory: the number of cells
 * begun and ended, whether a cell's code is running, and how many interrupts were answered.
 */
export interface SharedState {
  readonly memory: SharedArrayBuffer;
  /** Changes with every beginning and end of a cell. */
  cell(): number;
  nextCell(): void;
  inCell(): boolean;
  setInCell(inside: boolean): void;
  answers(): number;
  answer(): void;
}

export function createSharedState(
  memory: SharedArrayBuffer = new SharedArrayBuffer(12),
): SharedState {
  const view = new Int32Array(memory);
  return {
    memory,
    cell: () => Atomics.load(view, 0),
    nextCell: () => void Atomics.add(view, 0, 1),
    inCell: () => Atomics.load(view, 1) === 1,
    setInCell: (inside) => void Atomics.store(view, 1, inside ? 1 : 0),
    answers: () => Atomics.load(view, 2),
    answer: () => void Atomics.add(view, 2, 1),
  };
}

/** What the control thread and the main thread tell each other. */
export type ToMain =
  | { type: 'interrupt'; cell: number }
  | { type: 'status'; state: 'busy' | 'idle'; parent: unknown }
  | { type: 'shutdown' };
export type ToControl = { type: 'end' };

/** How long a main thread that is in a cell's code gets to answer before that code is cut off, ms. */
const patience = 60;
/** The same for one that is known to be elsewhere: it may only be slow. */
const longPatience = 500;
/** Time to come back after a cut. */
const recovery = 250;
const giveUpAfter = 6000;

const wait = (ms: number) => new Promise<void>((ready) => setTimeout(ready, ms));

/**
 * Stop what the main thread does; called on the control thread. First by word: waits and timers end by
 * that. A main thread that does not answer is in a loop, which is then cut off in the middle; again
 * while timers or callbacks start further loops. It is asked once more after it answered: code that catches the
 * end of its wait goes on from there, perhaps into a loop. A signal would do the first part as well, but
 * between two cells Node lets it end the process.
 *
 * @param tell sends the word to the main thread
 * @returns whether the main thread answered both times
 */
export async function interruptMain(
  state: SharedState,
  tell: (message: ToMain) => void,
): Promise<boolean> {
  const cell = state.cell();
  const before = state.answers();
  const answers = () => state.answers() - before;
  const started = Date.now();
  let askedAgain = false;
  let session: Session | undefined;
  let last = started;
  let pause = patience;
  let cuts = 0;
  tell({ type: 'interrupt', cell });
  while (answers() < 2 && Date.now() - started < giveUpAfter) {
    if (answers() > 0 && !askedAgain) {
      askedAgain = true;
      tell({ type: 'interrupt', cell });
      last = Date.now();
    }
    await wait(10);
    const silence = Date.now() - last;
    const isAnswered = answers() > Number(askedAgain);
    if (isAnswered || silence < (state.inCell() ? pause : Math.max(pause, longPatience))) continue;
    session ??= connectToMain();
    session.post('Runtime.terminateExecution');
    cuts += 1;
    // Outside its own code it may wait for a program that it started: `execSync` and its like.
    if (cuts > 1) endChildren();
    // The cut may have hit the very callback that took the word.
    tell({ type: 'interrupt', cell });
    last = Date.now();
    pause = recovery;
  }
  session?.disconnect();
  return answers() >= 2;
}

function connectToMain(): Session {
  const session = new Session();
  session.connectToMainThread();
  return session;
}
