import { useEffect, useRef } from 'preact/hooks';
import { useStore } from '../store';
import { PARTS, type Walk } from './walk';

/** The film while it is covered: each paints where light is expected. */
export function CoveredFilm({ walk }: { walk: Walk }) {
  const strip = useRef<HTMLDivElement>(null);
  const place = useRef(0.5);
  const brush = useRef<HTMLSpanElement>(null);
  const isEmpty = useStore(walk.expected).every((value) => value === 0);

  const move = (share: number) => {
    place.current = Math.min(1, Math.max(0, share));
    brush.current?.style.setProperty('left', `${place.current * 100}%`);
    strip.current?.setAttribute('aria-valuenow', String(Math.round(place.current * 100)));
  };
  const touch = (event: PointerEvent) => {
    if (!strip.current || event.buttons === 0) return;
    const { left, width } = strip.current.getBoundingClientRect();
    move((event.clientX - left) / width);
    walk.paint(place.current, event.type === 'pointerdown' ? 0.5 : 0.15);
  };
  const keys = (event: KeyboardEvent) => {
    const step = event.shiftKey ? 0.05 : 0.01;
    if (event.key === 'ArrowLeft') move(place.current - step);
    else if (event.key === 'ArrowRight') move(place.current + step);
    else if (event.key === 'Home') move(0.5);
    else if (event.key === ' ') walk.paint(place.current);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  return (
    <section class="covered" aria-label="What is expected">
      <div
        ref={strip}
        class="empty-film"
        role="slider"
        tabIndex={0}
        aria-label="Empty film. Arrow keys move the brush, with Shift faster; the space bar paints light where it is."
        aria-valuemin={0}
        aria-valuemax={100}
        aria-valuenow={50}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          touch(event);
        }}
        onPointerMove={touch}
        onKeyDown={keys}
      >
        <ExpectedFilm walk={walk} />
        <span ref={brush} class="brush" style={{ left: '50%' }} />
      </div>
      <p>
        The film is covered. Paint on it where you expect light, and how much.{' '}
        <button type="button" class="quiet" disabled={isEmpty} onClick={() => walk.wipe()}>
          Wipe it clean
        </button>
      </p>
    </section>
  );
}

/** What was painted, above the film that is then shown. */
export function WasExpected({ walk }: { walk: Walk }) {
  const place = useStore(walk.place);
  const isEmpty = useStore(walk.expected).every((value) => value === 0);
  if (!place || isEmpty) return null;
  return (
    <div class="was-expected" role="img" aria-label="What was expected, above what the film shows">
      <ExpectedFilm walk={walk} />
      <span>expected</span>
    </div>
  );
}

function ExpectedFilm({ walk }: { walk: Walk }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const draw = () => {
      const context = canvas.current?.getContext('2d');
      if (!context) return;
      const row = context.createImageData(PARTS, 1);
      walk.expected.value.forEach((value, i) => {
        row.data.set([236, 226, 198, Math.round(255 * value)], 4 * i);
      });
      context.putImageData(row, 0, 0);
    };
    draw();
    return walk.expected.subscribe(draw);
  }, [walk]);
  return <canvas ref={canvas} width={PARTS} height={1} />;
}
