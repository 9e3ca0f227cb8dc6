import type { RefObject } from 'preact';
import { useLayoutEffect } from 'preact/hooks';

/** Tells the style sheets how high the bar is, so that what stays in sight stays below it. */
export function useHeight(bar: RefObject<HTMLElement>): void {
  useLayoutEffect(() => {
    if (!bar.current) return;
    const watch = new ResizeObserver(([{ target }]) =>
      document.documentElement.style.setProperty(
        '--bar',
        `${target.getBoundingClientRect().height}px`,
      ),
    );
    watch.observe(bar.current);
    return () => watch.disconnect();
  }, [bar]);
}
