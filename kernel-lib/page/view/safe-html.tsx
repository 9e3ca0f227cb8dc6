import { useRef } from 'preact/hooks';
import { useScrollable } from './use-scrollable';

/** Markup that was sanitised (text/sanitise.ts), laid into the sheet. */
export function SafeHtml({ html, kind = '' }: { html: string; kind?: string }) {
  const place = useRef<HTMLDivElement>(null);
  useScrollable(place, html);
  return <div ref={place} class={`text ${kind}`} dangerouslySetInnerHTML={{ __html: html }} />;
}
