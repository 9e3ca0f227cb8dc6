import type { CellContext } from './cell-context';
import type { CellCode } from './emit';

/** A cell that has run, kept so that later errors find their cell and their lines in it. */
export interface RanCell {
  readonly source: string;
  readonly code: CellCode;
  readonly count: number;
  readonly context: CellContext;
}

const ran = new Map<string, RanCell>();
const inStack = /\(?(cell:\d+:\d+):\d+:\d+\)?$/gm;
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

/** The cell that an error comes from, by its stack: the outermost one, which called the others. */
export function cellOf(error: unknown): CellContext | undefined {
  const stack = String((error as Error | null | undefined)?.stack ?? '');
  const script = [...stack.matchAll(inStack)].at(-1)?.[1];
  return script === undefined ? undefined : ran.get(script)?.context;
}
