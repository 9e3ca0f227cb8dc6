import type { RefObject } from 'preact';
import { useEffect, useMemo, useReducer, useRef } from 'preact/hooks';
import { sourceOf, type TextCell } from '../../notebook/notebook';
import { renderMarkdown } from '../text/safe-markup';

/** The sheet's own text, with its formulas. */
export function TextView({ cell }: { cell: TextCell }) {
  return <SafeHtml html={useMarkdown(sourceOf(cell), cell.attachments)} />;
}

/** Markdown as safe HTML, with its formulas as soon as they can be set. */
export function useMarkdown(source: string, attachments?: TextCell['attachments']): string {
  const [come, again] = useReducer((count: number) => count + 1, 0);
  const { html, later } = useMemo(
    () => renderMarkdown(source, attachments),
    [source, attachments, come],
  );
  useEffect(() => {
    let isOver = false;
    // What sets formulas may not arrive: they are read as they were typed then.
    later?.().then(
      () => isOver || again(undefined as never),
      () => {},
    );
    return () => {
      isOver = true;
    };
  }, [later, html]);
  return html;
}

/** Markup that was sanitised (text/sanitise.ts), laid into the sheet. */
export function SafeHtml({ html, kind = '' }: { html: string; kind?: string }) {
  const place = useRef<HTMLDivElement>(null);
  useScrollable(place, html);
  return <div ref={place} class={`text ${kind}`} dangerouslySetInnerHTML={{ __html: html }} />;
}

/** What is too wide for the sheet scrolls by itself; the keyboard must reach it then, and only then. */
function useScrollable(place: RefObject<HTMLElement>, content: unknown): void {
  useEffect(() => {
    const parts = [
      ...(place.current?.querySelectorAll<HTMLElement>('.katex-block, pre, table') ?? []),
    ];
    const look = () => {
      for (const part of parts)
        if (part.scrollWidth > part.clientWidth + 1) part.tabIndex = 0;
        else part.removeAttribute('tabindex');
    };
    const watch = new ResizeObserver(look);
    for (const part of parts) watch.observe(part);
    return () => watch.disconnect();
  }, [place, content]);
}
