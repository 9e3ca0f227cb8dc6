import { markOf } from '../../notebook/marks';
import type { Cell } from '../../notebook/notebook';

/** A stretch of the sheet: one question with all that belongs to it, or text between questions. */
export interface Part {
  readonly key: string;
  readonly question: string | undefined;
  readonly cells: readonly Cell[];
}

/** Cells of the same question that follow one another make one part; a cell of the student's own joins what it follows. */
export function partsOf(cells: readonly Cell[]): Part[] {
  const parts: { key: string; question: string | undefined; cells: Cell[] }[] = [];
  for (const cell of cells) {
    const mark = markOf(cell);
    const last = parts.at(-1);
    if (last && (!mark || mark.question === last.question)) last.cells.push(cell);
    else parts.push({ key: cell.id, question: mark?.question, cells: [cell] });
  }
  return parts;
}
