import type { ComponentChildren, RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { BenchPattern } from '../../figures/bench/compute';
import { look } from '../../figures/chart';
import { type Store, useValue } from '../store';
import type { BenchModel } from './bench-model';
import { readingWords, useReading } from './reading';

/** The strip of a store's pattern, drawn whenever it changes. */
export function LiveFilm({ pattern }: { pattern: Store<BenchPattern> }) {
  const film = useRef<HTMLCanvasElement>(null);
  const burnt = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const draw = () => drawBoth(film.current, burnt.current, pattern.value);
    draw();
    return pattern.subscribe(draw);
  }, [pattern]);
  return <Film film={film} burnt={burnt} />;
}

/** A strip that stays. */
export function StillFilm({ pattern }: { pattern: BenchPattern }) {
  const film = useRef<HTMLCanvasElement>(null);
  const burnt = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    drawBoth(film.current, burnt.current, pattern);
  }, [pattern]);
  return <Film film={film} burnt={burnt} />;
}

interface Canvases {
  readonly film: RefObject<HTMLCanvasElement>;
  readonly burnt: RefObject<HTMLCanvasElement>;
}

function Film({ film, burnt }: Canvases) {
  return (
    <>
      <canvas ref={burnt} class="burnt" height={1} />
      <canvas ref={film} class="strip" />
    </>
  );
}

/** Film and curve with a hairline on them that the pointer or the arrow keys move. */
export function FilmReader({
  model,
  children,
}: {
  model: BenchModel;
  children: ComponentChildren;
}) {
  const area = useRef<HTMLDivElement>(null);
  const span = useValue(model.setting, (setting) => setting.span);
  const reading = useReading(model);
  const words = readingWords(model, reading);

  const follow = (event: PointerEvent) => {
    if (!area.current) return;
    const { left, width } = area.current.getBoundingClientRect();
    const side = Number.parseFloat(getComputedStyle(area.current).paddingLeft);
    const share = (event.clientX - left - side) / (width - 2 * side);
    model.place.set((Math.min(1, Math.max(0, share)) - 0.5) * span);
  };
  const keys = (event: KeyboardEvent) => {
    const step = span / (event.shiftKey ? 60 : 1200);
    const moves: Record<string, number> = {
      ArrowLeft: reading.place - step,
      ArrowDown: reading.place - step,
      ArrowRight: reading.place + step,
      ArrowUp: reading.place + step,
      PageDown: reading.place - span / 20,
      PageUp: reading.place + span / 20,
      Home: 0,
      End: span / 2,
    };
    const to = moves[event.key];
    if (to === undefined) return;
    event.preventDefault();
    model.place.set(Math.min(span / 2, Math.max(-span / 2, to)));
  };

  return (
    <div
      ref={area}
      class="film-reader"
      role="slider"
      tabIndex={0}
      aria-label="Place on the film. Arrow keys move it, with Shift faster; Home goes to the middle."
      aria-valuemin={-span * 500}
      aria-valuemax={span * 500}
      aria-valuenow={Number((reading.place * 1e3).toFixed(3))}
      aria-valuetext={`${words.place}, ${words.deviation}, ${words.colour}, brightness ${words.brightness}`}
      onPointerDown={follow}
      onPointerMove={follow}
      onKeyDown={keys}
    >
      {children}
      <div class="hair-room" aria-hidden="true">
        <div class="hair" style={{ left: `${(reading.place / span + 0.5) * 100}%` }} />
      </div>
    </div>
  );
}

/** Film strips are one row of pixels, drawn as high as the page wants them. */
function drawFilm(canvas: HTMLCanvasElement, { strip }: BenchPattern): void {
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

/** A line above the strip wherever the film got more light than it can show; one row of pixels as well. */
function drawBurnt(canvas: HTMLCanvasElement, { strip }: BenchPattern): void {
  const { burntOut } = strip;
  const first = burntOut.indexOf(1);
  // Most strips have nothing to mark, and an empty canvas stays out of sight.
  canvas.hidden = first < 0;
  if (first < 0) return;
  if (canvas.width !== burntOut.length) canvas.width = burntOut.length;
  const context = canvas.getContext('2d');
  if (!context) return;
  context.clearRect(0, 0, canvas.width, 1);
  context.fillStyle = look.burnt;
  for (let from = first; from >= 0; ) {
    const end = burntOut.indexOf(0, from);
    const to = end < 0 ? burntOut.length : end;
    context.fillRect(from, 0, to - from, 1);
    from = burntOut.indexOf(1, to);
  }
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

function drawBoth(
  film: HTMLCanvasElement | null,
  burnt: HTMLCanvasElement | null,
  pattern: BenchPattern,
): void {
  if (film) drawFilm(film, pattern);
  if (burnt) drawBurnt(burnt, pattern);
}
