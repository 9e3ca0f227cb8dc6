import { useMemo } from 'preact/hooks';
import type { TextCell } from '../../notebook/notebook';
import { sourceOf } from '../../notebook/text';
import { renderMarkdown } from '../text/markdown';
import { SafeHtml } from './safe-html';

/** The sheet's own text, with its formulas. */
export function TextView({ cell }: { cell: TextCell }) {
  const html = useMemo(() => renderMarkdown(sourceOf(cell), cell.attachments), [cell]);
  return <SafeHtml html={html} />;
}
