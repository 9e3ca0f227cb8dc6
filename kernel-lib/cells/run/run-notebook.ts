import {
  type Cell,
  type CodeCell,
  joinLines,
  type Notebook,
  type Output as Stored,
  sourceOf,
} from '../../notebook/notebook';
import type { CellError } from './cell-errors';
import type { Output } from './output';
import type { Session } from './session';

/** A cell that ended with an error. */
export interface FailedCell {
  readonly id: string;
  /** Its place among the code cells, counted from 1. */
  readonly number: number;
  readonly error: CellError;
}

export interface RanNotebook {
  /** A copy with the outputs and counts of this run. */
  readonly notebook: Notebook;
  readonly failed: readonly FailedCell[];
}

/**
 * Run every code cell in order. A cell that fails does not stop those after it: a sheet's later questions are still
 * checked.
 *
 * @param start makes a fresh session that gives its outputs to `onOutput`
 */
export async function runNotebook(
  notebook: Notebook,
  start: (onOutput: (output: Output, tag: unknown) => void) => Session,
): Promise<RanNotebook> {
  const all: Stored[][] = [];
  const session = start((output, tag) => keepOutput(tag as Stored[], output, all));
  const cells: Cell[] = [];
  const failed: FailedCell[] = [];
  let number = 0;
  for (const cell of notebook.cells) {
    if (cell.cell_type !== 'code') {
      cells.push(cell);
      continue;
    }
    number += 1;
    const outputs: Stored[] = [];
    all.push(outputs);
    const result = await session.run(sourceOf(cell), { tag: outputs });
    if (result.error) failed.push({ id: cell.id, number, error: result.error });
    const ran: CodeCell = { ...cell, outputs, execution_count: result.executionCount };
    cells.push(ran);
  }
  return { notebook: { ...notebook, cells }, failed };
}

type Kept = Exclude<Output, { type: 'clear_output' | 'update_display_data' }>;

/** Outputs that can be changed, by their id; as long as their notebook is there. */
const displays = new WeakMap<Stored, string>();
/** Cleared when the next output comes. */
const stale = new WeakSet<Stored[]>();

const stored = (output: Kept): Stored => {
  switch (output.type) {
    case 'stream':
      return { output_type: 'stream', name: output.name, text: output.text };
    case 'display_data':
      return { output_type: 'display_data', data: { ...output.data }, metadata: output.metadata };
    case 'execute_result':
      return {
        output_type: 'execute_result',
        data: { ...output.data },
        metadata: output.metadata,
        execution_count: output.executionCount,
      };
    case 'error': {
      const { ename, evalue, traceback } = output;
      return { output_type: 'error', ename, evalue, traceback: [...traceback] };
    }
  }
};

/**
 * Adds what a session sends to the outputs of its cell, as nbformat keeps them.
 *
 * @param all the outputs of all cells so far, in which a display may be changed
 */
export function keepOutput(outputs: Stored[], output: Output, all: readonly Stored[][]): void {
  if (output.type === 'clear_output') {
    if (output.wait) stale.add(outputs);
    else outputs.length = 0;
    return;
  }
  if (output.type === 'update_display_data') {
    for (const one of all.flat())
      if (displays.get(one) === output.id && 'data' in one)
        Object.assign(one, { data: { ...output.data }, metadata: output.metadata });
    return;
  }
  if (stale.delete(outputs)) outputs.length = 0;
  const last = outputs.at(-1);
  if (output.type === 'stream' && last?.output_type === 'stream' && last.name === output.name) {
    last.text = joinLines(last.text) + output.text;
    return;
  }
  const kept = stored(output);
  if (output.type === 'display_data' && output.id !== undefined) displays.set(kept, output.id);
  outputs.push(kept);
}
