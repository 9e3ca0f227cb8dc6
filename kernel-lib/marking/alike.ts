import type { Notebook } from '../notebook/notebook';
import { takesWork } from '../notebook/original-with-work';
import { sourceOf } from '../notebook/text';
import { type FoundReturn, notebookFrom } from './found-return';
import { type AlikePair, alikePairs } from './similarity';

const codeOf = ({ cells }: Notebook, ids: ReadonlySet<string>) =>
  cells
    .filter(({ id, cell_type }) => cell_type === 'code' && ids.has(id))
    .map(sourceOf)
    .join('\n');

/** Pairs of returns of one sheet whose code is alike beyond what the sheet suggests. */
export function alikeIn(
  sheet: string,
  original: Notebook,
  returns: readonly FoundReturn[],
): (AlikePair & { readonly sheet: string })[] {
  const ids = new Set(original.cells.filter(takesWork).map(({ id }) => id));
  const own = returns.filter((one) => one.sheet === sheet);
  const answers = new Map(
    own.map(({ student, text }) => [student, codeOf(notebookFrom(text), ids)]),
  );
  return alikePairs(answers, codeOf(original, ids)).map((pair) => ({ sheet, ...pair }));
}
