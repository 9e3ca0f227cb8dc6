import { markOf } from '../../notebook/marks';
import type { Cell } from '../../notebook/notebook';
import { sourceOf } from '../../notebook/text';

/** The working of a question as one text, to tell whether it is still what was checked. */
export function workOf(cells: readonly Cell[], question: string): string {
  return cells
    .filter((cell) => {
      const mark = markOf(cell);
      return mark?.role === 'work' && mark.question === question;
    })
    .map(sourceOf)
    .join('\n\u0000');
}
