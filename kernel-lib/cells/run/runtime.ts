import type { Host } from '../host';
import { type CellContext, createRunningCells, type RunningCells } from './cell-context';
import { type CellErrors, createCellErrors } from './cell-errors';
import { type CellLibrary, createCellLibrary } from './cell-library';
import { type Guards, installGuards } from './guards';

/** What all cells of one process, or of one worker, share. There is one of it, since they share their globals too. */
export interface Runtime {
  readonly host: Host;
  readonly cells: RunningCells;
  readonly errors: CellErrors;
  readonly library: CellLibrary;
  /** From now on what a cell prints, ends or leaves unhandled comes back to it. Once is enough. */
  guard(): void;
  /** The cell whose timer callback was cut off, if one was. */
  takeCallbackCell(): CellContext | undefined;
  /** A number that no other session has. */
  nextSession(): number;
}

export function createRuntime(host: Host): Runtime {
  const cells = createRunningCells();
  const errors = createCellErrors(host);
  let guards: Guards | undefined;
  let sessions = 0;
  return {
    host,
    cells,
    errors,
    library: createCellLibrary(host, cells),
    guard() {
      guards ??= installGuards(host, cells, errors);
    },
    takeCallbackCell: () => guards?.takeCallbackCell(),
    nextSession() {
      sessions += 1;
      return sessions;
    },
  };
}
