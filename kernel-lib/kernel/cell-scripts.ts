import type { CellContext } from './cell-context';
import type { CellPlace } from './emit';

/** A cell that has run, kept so that later errors find their cell and their lines in it. */
export interface RanCell {
  readonly source: string;
  /** The place in the cell that a place in its emitted code came from; left out where that is not known. */
  place?(emitted: CellPlace): CellPlace | undefined;
  readonly count: number;
  readonly context: CellContext;
}

const ran = new Map<string, RanCell>();
let count = 0;

/** Note a cell that is about to run. Returns the name of its script in stack traces. */
export function noteCell(session: number, cell: RanCell): string {
  count += 1;
  const script = `cell:${session}:${count}`;
  ran.set(script, cell);
  return script;
}

export const cellByScript = (script: string): RanCell | undefined => ran.get(script);

/** Forget the cells of a session that is over. */
export function forgetCells(session: number): void {
  for (const script of ran.keys()) if (script.startsWith(`cell:${session}:`)) ran.delete(script);
}
