import type { ComponentChildren } from 'preact';
import { useRef } from 'preact/hooks';
import type { BenchModel } from './bench-model';
import { readingWords, useReading } from './use-reading';
import { useValue } from './use-value';

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
