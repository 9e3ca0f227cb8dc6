/**
 * What the control thread can see of the main thread at any time, in shared memory: the number of cells
 * begun and ended, whether a cell's code is running, and how many interrupts were answered.
 */
export interface Pulse {
  readonly memory: SharedArrayBuffer;
  /** Changes with every beginning and end of a cell. */
  cell(): number;
  nextCell(): void;
  inCell(): boolean;
  setInCell(inside: boolean): void;
  answers(): number;
  answer(): void;
}

export function createPulse(memory: SharedArrayBuffer = new SharedArrayBuffer(12)): Pulse {
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
