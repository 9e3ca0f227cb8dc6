import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { readingOf } from '../../figures/bench/build';
import { verniers } from '../../figures/bench/setting';
import {
  type BenchTelescope,
  benchTelescope,
  fieldWords,
  fine,
  ordersToSet,
  pairWords,
  type SeenLine,
} from '../../figures/bench/telescope';
import { writeAngle } from '../../quantity/angle';
import { formatNumber } from '../../quantity/format-number';
import { useStore } from '../store';
import type { BenchModel } from './bench-model';
import { VernierView } from './vernier-view';

/** The grating on a divided circle: what the telescope shows, and the verniers that are to be read. */
export function Spectrometer({ model }: { model: BenchModel }) {
  const setting = useStore(model.setting);
  const seen = useMemo(() => benchTelescope(setting), [setting]);
  const finest = verniers[setting.vernier] < 0.9 * verniers['1min'] ? 'arcsecond' : 'arcminute';
  const read = (angle: number) => (setting.readings ? writeAngle(angle, finest) : undefined);
  return (
    <section class="spectrometer" aria-label="Grating in a spectrometer">
      <Eyepiece model={model} seen={seen} />
      <div class="circle">
        <VernierView
          model={model}
          title="Vernier 1"
          angle={seen.stands.first}
          reads={read(seen.reads.first)}
        />
        <VernierView
          model={model}
          title="Vernier 2"
          angle={seen.stands.second}
          reads={read(seen.reads.second)}
        />
      </div>
      <TurnTo model={model} />
      {setting.readings && <Pair seen={seen} />}
    </section>
  );
}

/** Whether the two lines at the cross-wire are told apart. */
function Pair({ seen }: { seen: BenchTelescope }) {
  const { what, measure } = pairWords(seen);
  return (
    <p class="pair" aria-live="polite">
      {what} <span class="measure">{measure}</span>
    </p>
  );
}

/** Turns the telescope to an order, and tells what is to be read when asked. */
function TurnTo({ model }: { model: BenchModel }) {
  const setting = useStore(model.setting);
  const wavelength = `${formatNumber(readingOf(setting) * 1e9, 5)} nm`;
  return (
    <div class="turn">
      <span>Turn to {wavelength} in order</span>
      {ordersToSet(setting).map(({ order, telescope }) => (
        <button
          key={order}
          type="button"
          aria-label={`Turn the telescope to order ${order}`}
          aria-pressed={Math.abs(telescope - setting.telescope) < 1e-9}
          onClick={() => model.change({ telescope })}
        >
          {String(order).replace('-', '−')}
        </button>
      ))}
      <label class="tick">
        <input
          type="checkbox"
          checked={setting.readings}
          onChange={(event) => model.change({ readings: event.currentTarget.checked })}
        />
        Tell the readings
      </label>
    </div>
  );
}

/** Share of the field's height that the source slit's image takes. */
const HIGH = 0.62;

/** The round field of the telescope; it is turned by dragging, or by the arrow keys. */
function Eyepiece({ model, seen }: { model: BenchModel; seen: BenchTelescope }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [held, setHeld] = useState<{ x: number; telescope: number }>();
  const { setting } = seen;
  useEffect(() => drawField(canvas.current, seen), [seen]);
  const turn = (angle: number) => {
    const limit = (165 * Math.PI) / 180;
    model.change({ telescope: fine(Math.min(limit, Math.max(-limit, angle))) });
  };
  const keys = (event: KeyboardEvent) => {
    const step = setting.field / (event.shiftKey ? 10 : 400);
    const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    turn(setting.telescope + by * step);
  };
  return (
    <figure class="eyepiece">
      <div
        class="field"
        role="slider"
        tabIndex={0}
        aria-label="Telescope. Arrow keys turn it, with Shift faster."
        aria-valuemin={-165}
        aria-valuemax={165}
        aria-valuenow={Number(((setting.telescope * 180) / Math.PI).toFixed(4))}
        aria-valuetext={fieldWords(seen)}
        onKeyDown={keys}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          setHeld({ x: event.clientX, telescope: setting.telescope });
        }}
        onPointerMove={(event) => {
          if (!held) return;
          const { width } = event.currentTarget.getBoundingClientRect();
          turn(held.telescope - ((event.clientX - held.x) / width) * setting.field);
        }}
        onPointerUp={() => setHeld(undefined)}
        onPointerCancel={() => setHeld(undefined)}
      >
        <canvas ref={canvas} style={{ height: `${HIGH * 100}%` }} />
        <div class="wires" aria-hidden="true" />
        {setting.readings && <LineNames seen={seen} />}
      </div>
      <figcaption>
        {formatNumber((setting.field * 180) / Math.PI, 3)}° across
        {setting.light === 'sunlight' && (
          <span class="never"> Never look at the sun through a telescope: it blinds at once.</span>
        )}
      </figcaption>
    </figure>
  );
}

function drawField(canvas: HTMLCanvasElement | null, { view }: BenchTelescope): void {
  if (!canvas) return;
  const count = view.angles.length;
  if (canvas.width !== count) canvas.width = count;
  if (canvas.height !== 1) canvas.height = 1;
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) return;
  const row = context.createImageData(count, 1);
  for (let i = 0; i < count; i++) {
    row.data.set(view.srgb.subarray(3 * i, 3 * i + 3), 4 * i);
    row.data[4 * i + 3] = 255;
  }
  context.putImageData(row, 0, 0);
}

/** Names that find room beside each other above the lines, the strongest first. */
function LineNames({ seen }: { seen: BenchTelescope }) {
  const { lines, setting } = seen;
  const at = (line: SeenLine) => (line.angle - setting.telescope) / setting.field + 0.5;
  const placed: SeenLine[] = [];
  for (const line of [...lines].sort((a, b) => b.weight - a.weight)) {
    const isInside = Math.abs(at(line) - 0.5) < 0.26;
    if (isInside && placed.every((other) => Math.abs(at(other) - at(line)) > 0.16))
      placed.push(line);
  }
  return (
    <>
      {placed.map((line) => (
        <span
          key={`${line.label} ${line.wavelength} ${line.order}`}
          class="name"
          aria-hidden="true"
          style={{ left: `${at(line) * 100}%` }}
        >
          {line.label.split(',')[0]}
          <br />
          {(line.wavelength * 1e9).toFixed(setting.field < 0.01 ? 2 : 1)}
        </span>
      ))}
    </>
  );
}
