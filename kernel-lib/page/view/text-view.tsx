import { useMemo } from 'preact/hooks';
import type { TextCell } from '../../notebook/notebook';
import { sourceOf } from '../../notebook/text';
import { renderMarkdown } from '../text/markdown';

/** The sheet's own text, with its formulas. */
export function TextView({ cell }: { cell: TextCell }) {
  const html = useMemo(() => renderMarkdown(sourceOf(cell), cell.attachments), [cell]);
  return <div class="text" dangerouslySetInnerHTML={{ __html: html }} />;
}
