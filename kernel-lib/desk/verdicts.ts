import type { Notebook } from '../notebook/notebook';

export const verdictType = 'application/vnd.multislit.verdict+json';

/** How far a student is, as the verdicts saved in the notebook say. */
export interface Standing {
  /** Question ids that have a verdict, with its state. */
  readonly states: Readonly<Record<string, string>>;
  readonly marks: number;
}

/** Read the verdicts out of a notebook's outputs; what does not look like one is passed over. */
export function standingOf(notebook: Notebook): Standing {
  const states: Record<string, string> = {};
  const marks: Record<string, number> = {};
  for (const cell of notebook.cells) {
    if (cell.cell_type !== 'code') continue;
    for (const output of cell.outputs) {
      const data = 'data' in output ? output.data[verdictType] : undefined;
      const verdict = data as { question?: unknown; state?: unknown; marks?: unknown } | undefined;
      if (typeof verdict?.question !== 'string' || typeof verdict.state !== 'string') continue;
      states[verdict.question] = verdict.state;
      marks[verdict.question] = typeof verdict.marks === 'number' ? verdict.marks : 0;
    }
  }
  return { states, marks: Object.values(marks).reduce((sum, more) => sum + more, 0) };
}
