import type { ComponentChildren, RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { BenchPattern } from '../../figures/bench/compute';
import { look } from '../../figures/chart';
import { type Store, useStore, useValue } from '../store';
import type { BenchModel } from './bench-model';
import { readingWords, useApart, useReading } from './reading';

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

/** How near a click counts as on a hairline, pixels. */
const NEAR = 8;

/** Film and curve with a hairline on them that the pointer or the arrow keys move; a click latches it, another sets a second. */
export function FilmReader({
  model,
  children,
}: {
  model: BenchModel;
  children: ComponentChildren;
}) {
  const area = useRef<HTMLDivElement>(null);
  const span = useValue(model.setting, (setting) => setting.span);
  const isLatched = useStore(model.isLatched);
  const second = useStore(model.second);
  const reading = useReading(model);
  const words = readingWords(model, reading);
  const apart = useApart(model);

  const placeOf = (event: MouseEvent) => {
    const { left, width } = area.current!.getBoundingClientRect();
    const side = Number.parseFloat(getComputedStyle(area.current!).paddingLeft);
    const share = (event.clientX - left - side) / (width - 2 * side);
    const perPixel = span / (width - 2 * side);
    return { place: (Math.min(1, Math.max(0, share)) - 0.5) * span, near: NEAR * perPixel };
  };
  const follow = (event: PointerEvent) => model.point(placeOf(event).place);
  const click = (event: MouseEvent) => {
    // A finger has no place while it does not touch: what it touches is where the hairline stays anyway.
    const isTouch = 'pointerType' in event && event.pointerType === 'touch';
    if (isTouch && !isLatched) return;
    const { place, near } = placeOf(event);
    model.click(place, near);
  };
  const keys = (event: KeyboardEvent) => {
    const step = span / (event.shiftKey ? 60 : 1200);
    const from = isLatched ? (second ?? reading.place) : reading.place;
    if (event.key === 'Enter') {
      event.preventDefault();
      if (isLatched) model.letGo();
      else model.isLatched.set(true);
      return;
    }
    const moves: Record<string, number> = {
      ArrowLeft: from - step,
      ArrowDown: from - step,
      ArrowRight: from + step,
      ArrowUp: from + step,
      PageDown: from - span / 20,
      PageUp: from + span / 20,
      Home: 0,
      End: span / 2,
    };
    const to = moves[event.key];
    if (to === undefined) return;
    event.preventDefault();
    const within = Math.min(span / 2, Math.max(-span / 2, to));
    if (isLatched) model.second.set(within);
    else model.place.set(within);
  };
  const left = (place: number) => `${(place / span + 0.5) * 100}%`;

  return (
    <div
      ref={area}
      class="film-reader"
      role="slider"
      tabIndex={0}
      aria-label="Place on the film. Arrow keys move it, with Shift faster; Home goes to the middle. Enter latches the hairline, and the arrow keys move a second one."
      aria-valuemin={-span * 500}
      aria-valuemax={span * 500}
      aria-valuenow={Number((reading.place * 1e3).toFixed(3))}
      aria-valuetext={[
        `${words.place}, ${words.deviation}, ${words.colour}, brightness ${words.brightness}`,
        apart ? `; to the second hairline ${apart.length}, ${apart.angle}` : '',
      ].join('')}
      onPointerDown={follow}
      onPointerMove={follow}
      onClick={click}
      onKeyDown={keys}
    >
      {children}
      <div class="hair-room" aria-hidden="true">
        <div class="hair" data-latched={isLatched} style={{ left: left(reading.place) }} />
        {apart && <div class="hair second" style={{ left: left(apart.place) }} />}
      </div>
    </div>
  );
}

/** The film before the last move, at the foot of the strip; nothing while it is not wanted. */
export function FilmBefore({ model }: { model: BenchModel }) {
  const before = useStore(model.ghost);
  const isOn = useValue(model.layers, (layers) => layers.has('before'));
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    if (canvas.current && before) drawFilm(canvas.current, before);
  }, [before, isOn]);
  if (!isOn || !before) return null;
  return <canvas ref={canvas} class="strip-before" />;
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
