import { markOf } from '../notebook/marks';
import type { Notebook } from '../notebook/notebook';
import { sourceOf } from '../notebook/text';

/** Longest answer that is kept for a person to read, UTF-16 units: some ten pages. */
const longest = 20_000;

/** What a student wrote for a person to read, by question; left out where nothing was. */
export function writtenAnswers(original: Notebook, returned: Notebook): Record<string, string> {
  const theirs = new Map(returned.cells.map((cell) => [cell.id, cell]));
  const found = original.cells.flatMap((cell) => {
    const mark = markOf(cell);
    const answer = theirs.get(cell.id);
    if (mark?.role !== 'written' || mark.question === undefined || !answer) return [];
    const text = sourceOf(answer).trim();
    if (text === '' || text === sourceOf(cell).trim()) return [];
    return [[mark.question, text.slice(0, longest)] as const];
  });
  return Object.fromEntries(found);
}
