import { type CellContext, Interrupted } from '../cells/run/cell-context';

/** How often a running cell asks whether it is to stop, ms. */
const every = 100;
/** Of so many calls one looks at the clock, which takes longer than the call. */
const mostUnseen = 256;

/** Stops loops from inside: cells call `tick` at the head of every loop and function. */
export interface Ticks {
  tick(): void;
  /** A cell begins: nothing is to be stopped yet. */
  begin(): void;
  /** The address that is there as long as nothing is to be stopped. */
  watch(flag: string): void;
}

/**
 * A worker at work hears no message, and memory that two threads share is for pages served with headers that a plain
 * server does not send. But it may ask, and wait for the answer, whether a blob: address is still there: Stop takes it
 * away.
 *
 * @param running the cell that is to be stopped
 */
export function createTicks(running: () => CellContext | undefined): Ticks {
  // Kept from before any cell ran.
  const { performance, XMLHttpRequest } = globalThis;
  const now = performance.now.bind(performance);
  let flag = '';
  let unseen = 0;
  let due = 0;
  let stopping = false;

  function isGone(): boolean {
    const request = new XMLHttpRequest();
    try {
      request.open('GET', flag, false);
      request.send();
      return false;
    } catch {
      return true;
    }
  }

  return {
    tick() {
      // Code that catches this once meets it again at the next loop.
      if (stopping) throw new Interrupted();
      unseen += 1;
      if (unseen < mostUnseen) return;
      unseen = 0;
      if (now() < due) return;
      stopping = isGone();
      due = now() + every;
      if (!stopping) return;
      running()?.stop();
      throw new Interrupted();
    },
    begin() {
      stopping = false;
      due = now() + every;
    },
    watch(address) {
      flag = address;
    },
  };
}
