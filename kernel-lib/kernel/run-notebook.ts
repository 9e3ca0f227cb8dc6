import {
  type Cell,
  type CodeCell,
  type Notebook,
  type Output,
  sourceOf,
} from '../notebook/notebook';

import type { CellConverter } from './converter';
import { keepOutput } from './notebook-outputs';
import type { CellError } from './output';
import { createSession } from './session';

/** A cell that ended with an error. */
export interface FailedCell {
  readonly id: string;
  /** Its place among the code cells, counted from 1. */
  readonly number: number;
  readonly error: CellError;
}

export interface RunNotebookOptions {
  /** Where cells look for files. */
  readonly cwd: string;
  readonly converter?: CellConverter;
  /** Told before each code cell. */
  onCell?(number: number, of: number): void;
}

export interface RanNotebook {
  /** A copy with the outputs and counts of this run. */
  readonly notebook: Notebook;
  readonly failed: readonly FailedCell[];
}

/**
 * Run every code cell in order in a fresh session of this process. A cell that fails does not stop those
 * after it: a sheet's later questions are still checked.
 */
export async function runNotebook(
  notebook: Notebook,
  { cwd, converter, onCell }: RunNotebookOptions,
): Promise<RanNotebook> {
  const all: Output[][] = [];
  const session = createSession({
    cwd,
    converter,
    onOutput: (output, tag) => keepOutput(tag as Output[], output, all),
  });
  const of = notebook.cells.filter(({ cell_type }) => cell_type === 'code').length;
  const cells: Cell[] = [];
  const failed: FailedCell[] = [];
  let number = 0;
  for (const cell of notebook.cells) {
    if (cell.cell_type !== 'code') {
      cells.push(cell);
      continue;
    }
    number += 1;
    onCell?.(number, of);
    const outputs: Output[] = [];
    all.push(outputs);
    const result = await session.run(sourceOf(cell), { tag: outputs });
    if (result.error) failed.push({ id: cell.id, number, error: result.error });
    const ran: CodeCell = { ...cell, outputs, execution_count: result.executionCount };
    cells.push(ran);
  }
  return { notebook: { ...notebook, cells }, failed };
}
