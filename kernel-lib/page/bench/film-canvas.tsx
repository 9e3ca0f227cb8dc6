import { useEffect, useRef } from 'preact/hooks';
import type { BenchPattern } from '../../figures/bench/compute';
import type { Store } from '../net/store';

/** Film strips are one row of pixels, drawn as high as the page wants them. */
export function drawFilm(canvas: HTMLCanvasElement, { strip }: BenchPattern): void {
  const { srgb } = strip;
  const count = srgb.length / 3;
  if (canvas.width !== count) canvas.width = count;
  if (canvas.height !== 1) canvas.height = 1;
  // The pixels come from the processor, so they are kept on its side.
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) return;
  const row = rowOf(context, count);
  const { data } = row;
  for (let i = 0, from = 0, to = 0; i < count; i++, from += 3, to += 4) {
    data[to] = srgb[from];
    data[to + 1] = srgb[from + 1];
    data[to + 2] = srgb[from + 2];
  }
  context.putImageData(row, 0, 0);
}

let kept: ImageData | undefined;

/** One row of opaque pixels, the same for every frame. */
function rowOf(context: CanvasRenderingContext2D, count: number): ImageData {
  if (kept?.width !== count) {
    kept = context.createImageData(count, 1);
    kept.data.fill(255);
  }
  return kept;
}

/** The strip of a store's pattern, drawn whenever it changes. */
export function LiveFilm({ pattern }: { pattern: Store<BenchPattern> }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const draw = () => canvas.current && drawFilm(canvas.current, pattern.value);
    draw();
    return pattern.subscribe(draw);
  }, [pattern]);
  return <canvas ref={canvas} class="strip" />;
}

/** A strip that stays. */
export function StillFilm({ pattern }: { pattern: BenchPattern }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    if (canvas.current) drawFilm(canvas.current, pattern);
  }, [pattern]);
  return <canvas ref={canvas} class="strip" />;
}
