import { type MutableRef, useEffect, useMemo, useRef, useState } from 'preact/hooks';

/** The width that an element has, px; 0 before it stands. */
export function useWidth(element: MutableRef<HTMLElement | null>): number {
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const { current } = element;
    if (!current) return;
    const watch = new ResizeObserver(([entry]) => setWidth(Math.floor(entry.contentRect.width)));
    watch.observe(current);
    return () => watch.disconnect();
  }, []);
  return width;
}

/** Has something done once a frame at most, the last that was asked for; the rest is left out. */
export function useOncePerFrame(): { ask(work: () => void): void; now(): void } {
  const latest = useRef<(() => void) | undefined>(undefined);
  const frame = useRef(0);
  const both = useMemo(() => {
    const now = () => {
      cancelAnimationFrame(frame.current);
      frame.current = 0;
      const work = latest.current;
      latest.current = undefined;
      work?.();
    };
    const ask = (work: () => void) => {
      latest.current = work;
      if (frame.current === 0) frame.current = requestAnimationFrame(now);
    };
    return { ask, now };
  }, []);
  useEffect(() => () => cancelAnimationFrame(frame.current), []);
  return both;
}
