import { markOf } from '../notebook/marks';
import type { Notebook } from '../notebook/notebook';
import { sourceOf } from '../notebook/text';

/** Longest answer that is kept for a person to read, UTF-16 units: some ten pages. */
const longest = 20_000;

/** Texts of the student's own, by the question whose cells they stand under. */
function notesUnder(original: Notebook, returned: Notebook): Map<string, string[]> {
  const ours = new Map(original.cells.map((cell) => [cell.id, markOf(cell)?.question]));
  const notes = new Map<string, string[]>();
  let question: string | undefined;
  for (const cell of returned.cells) {
    if (ours.has(cell.id)) question = ours.get(cell.id);
    else if (cell.cell_type !== 'code' && question !== undefined) {
      const text = sourceOf(cell).trim();
      if (text !== '') notes.set(question, [...(notes.get(question) ?? []), text]);
    }
  }
  return notes;
}

const noteHead = '[Note under the question]';

/**
 * What a student wrote for a person to read, by question; left out where nothing was. Texts that the student added under
 * the question are part of it.
 */
export function writtenAnswers(original: Notebook, returned: Notebook): Record<string, string> {
  const theirs = new Map(returned.cells.map((cell) => [cell.id, cell]));
  const notes = notesUnder(original, returned);
  const found = original.cells.flatMap((cell) => {
    const mark = markOf(cell);
    if (mark?.role !== 'written' || mark.question === undefined) return [];
    const answer = theirs.get(cell.id);
    const written = answer ? sourceOf(answer).trim() : '';
    const own = written === sourceOf(cell).trim() ? '' : written;
    const under = (notes.get(mark.question) ?? []).map((note) => `${noteHead}\n${note}`);
    const text = [own, ...under].filter((part) => part !== '').join('\n\n');
    return text === '' ? [] : [[mark.question, text.slice(0, longest)] as const];
  });
  return Object.fromEntries(found);
}
