import type { RefObject } from 'preact';
import { useEffect } from 'preact/hooks';

/** What is too wide for the sheet scrolls by itself; the keyboard must reach it then, and only then. */
export function useScrollable(place: RefObject<HTMLElement>, content: unknown): void {
  useEffect(() => {
    const parts = [...(place.current?.querySelectorAll<HTMLElement>('.katex-block, pre') ?? [])];
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
