import { type BenchPattern, type PlaceReading, readPlace } from '../../figures/bench/compute';
import { writeAngle } from '../../quantity/angle';
import { formatNumber } from '../../quantity/format-number';
import { useStore } from '../store';
import type { BenchModel } from './bench-model';

/** What is to be read under the pointer, in words and numbers. */
export function Readout({ model }: { model: BenchModel }) {
  const reading = useReading(model);
  const words = readingWords(model, reading);
  return (
    <dl class="readout">
      <div class="first">
        <dt>{words.angle ? 'from the beam' : 'angle'}</dt>
        <dd>{words.deviation}</dd>
      </div>
      {words.angle && (
        <div class="first">
          <dt>from the normal</dt>
          <dd>{words.angle}</dd>
        </div>
      )}
      <div class="first">
        <dt>on the {model.setting.value.stand === 'screen' ? 'screen' : 'film'}</dt>
        <dd>{words.place}</dd>
      </div>
      {words.order ? (
        <div class="first">
          <dt>order at {words.wavelength}</dt>
          <dd>{words.order}</dd>
        </div>
      ) : (
        <div class="first">
          <dt>
            <i>a</i> sin <i>θ</i> / <i>λ</i> at {words.wavelength}
          </dt>
          <dd>{words.widths}</dd>
        </div>
      )}
      <div>
        <dt>brightness</dt>
        <dd>{words.brightness}</dd>
      </div>
      <div>
        <dt>colour</dt>
        <dd>{words.colour}</dd>
      </div>
      <Hairlines model={model} />
    </dl>
  );
}

/** How far two hairlines stand apart; while there is one, how to latch it. */
function Hairlines({ model }: { model: BenchModel }) {
  const isLatched = useStore(model.isLatched);
  const apart = useApart(model);
  return (
    <div class="hairlines">
      <dt>
        {apart ? 'between the hairlines' : isLatched ? 'the hairline is latched' : 'hairline'}
      </dt>
      <dd>
        {apart && (
          <strong>
            {apart.length}, {apart.angle}{' '}
          </strong>
        )}
        <button
          type="button"
          class="quiet"
          onClick={() => (isLatched ? model.letGo() : model.isLatched.set(true))}
        >
          {isLatched ? (apart ? 'Let both go' : 'Let it go') : 'Latch it'}
        </button>
        {isLatched && !apart && (
          <span class="more"> Touch the film elsewhere for a second one.</span>
        )}
      </dd>
    </div>
  );
}

/** Where the second hairline stands and how far from the first, in words; undefined without one. */
export function useApart(model: BenchModel) {
  const second = useStore(model.second);
  const pattern = useStore(model.pattern);
  const { place, deviation } = useReading(model);
  if (second === undefined) return undefined;
  const other = readPlace(pattern, second);
  const minutes = ((other.deviation - deviation) * 180 * 60) / Math.PI;
  return {
    place: other.place,
    length: `${fixed((other.place - place) * 1e3, 3)} mm`,
    angle: `${fixed(minutes, 2)}′`,
  };
}

const SIZE = 220;
const ROOM = 22;

/** The vector polygon of the direction under the pointer: one arrow for each slit, and their sum. */
export function PhasorView({ model }: { model: BenchModel }) {
  const reading = useReading(model);
  const words = readingWords(model, reading);
  const { phasors } = reading;
  const corners = [{ re: 0, im: 0 }, ...phasors.map(({ to }) => to)];
  const end = corners[corners.length - 1];
  const [left, right] = ends(corners.map(({ re }) => re));
  const [low, high] = ends(corners.map(({ im }) => im));
  // A single arrow is drawn to the scale of the full amplitude, a polygon as large as fits.
  const extent = Math.max(right - left, high - low, phasors.length > 1 ? 0.05 : 1);
  const scale = (SIZE - 2 * ROOM) / extent;
  const x = (re: number) => SIZE / 2 + (re - (left + right) / 2) * scale;
  const y = (im: number) => SIZE / 2 - (im - (low + high) / 2) * scale;
  const amplitude = Math.hypot(end.re, end.im);
  const closed = amplitude * scale < 1.5;
  const count = phasors.length;
  const heads = count <= 24;
  const unitLength = niceLength(extent);
  return (
    <figure class="phasors">
      <svg
        viewBox={`0 0 ${SIZE} ${SIZE}`}
        role="img"
        aria-label={`Vector polygon of ${count} ${count === 1 ? 'slit' : 'slits'} at ${words.wavelength}: the sum has length ${amplitude.toFixed(3)}, its square is ${words.intensity} of that straight ahead.`}
      >
        <g class="arrows">
          {phasors.map(({ from, to }, i) => (
            <Arrow
              key={i}
              x1={x(from.re)}
              y1={y(from.im)}
              x2={x(to.re)}
              y2={y(to.im)}
              head={heads}
            />
          ))}
        </g>
        {!closed && (
          <g class="sum">
            <Arrow x1={x(0)} y1={y(0)} x2={x(end.re)} y2={y(end.im)} head />
          </g>
        )}
        <circle class="origin" cx={x(0)} cy={y(0)} r="3" />
        <path
          class="scale"
          d={`M8 ${SIZE - 6}h${unitLength * scale}M8 ${SIZE - 9}v6M${8 + unitLength * scale} ${SIZE - 9}v6`}
        />
        <text class="scale" x={8 + unitLength * scale + 6} y={SIZE - 3}>
          {unitLength} of <tspan font-style="italic">A</tspan>₀
        </text>
      </svg>
      <figcaption>
        <strong>
          |<i>A</i>|² = {words.intensity}
        </strong>{' '}
        at {words.wavelength}
        <span class="how">
          {closed
            ? 'The polygon closes: dark at this wavelength.'
            : 'Blue: one arrow for each slit. Dashed: their sum.'}
        </span>
      </figcaption>
    </figure>
  );
}

interface ArrowProps {
  x1: number;
  y1: number;
  x2: number;
  y2: number;
  head: boolean;
}

function Arrow({ x1, y1, x2, y2, head }: ArrowProps) {
  const length = Math.hypot(x2 - x1, y2 - y1);
  const size = Math.min(8, length * 0.45);
  const [ux, uy] = length > 0 ? [(x2 - x1) / length, (y2 - y1) / length] : [0, 0];
  const side = (by: number) =>
    `${x2 - size * ux + by * size * 0.5 * uy} ${y2 - size * uy - by * size * 0.5 * ux}`;
  return (
    <>
      <path d={`M${x1} ${y1}L${x2} ${y2}`} />
      {head && length > 1 && <path class="head" d={`M${side(1)}L${x2} ${y2}L${side(-1)}`} />}
    </>
  );
}

function ends(values: readonly number[]): [number, number] {
  return [Math.min(...values), Math.max(...values)];
}

function niceLength(extent: number): number {
  return [1, 0.5, 0.2, 0.1, 0.05, 0.02].find((length) => length <= extent * 0.4) ?? 0.01;
}

let last: { pattern: BenchPattern; place: number; reading: PlaceReading } | undefined;

/** What is read at the place under the pointer, for the pattern as it is now. Several parts of the bench ask in one frame. */
export function useReading(model: BenchModel): PlaceReading {
  const pattern = useStore(model.pattern);
  const place = useStore(model.place);
  if (last?.pattern !== pattern || last.place !== place)
    last = { pattern, place, reading: readPlace(pattern, place) };
  return last.reading;
}

/** The parts of a reading as they are shown. */
export function readingWords(model: BenchModel, reading: PlaceReading) {
  const { setting, reading: wavelength, gain } = model.pattern.value;
  const several = setting.slits > 1 && setting.stand !== 'open';
  return {
    deviation: writeAngle(reading.deviation, 'arcsecond'),
    angle: setting.incidence === 0 ? '' : writeAngle(reading.angle, 'arcsecond'),
    place: `${fixed(reading.place * 1e3, 3)} mm`,
    order: several ? fixed(reading.order, 2) : '',
    widths: several ? '' : fixed(reading.order, 2),
    wavelength: `${formatNumber(wavelength * 1e9, 4)} nm`,
    brightness: setting.absolute ? times(gain * reading.brightness) : percent(reading.brightness),
    intensity: percent(reading.intensity),
    colour: reading.burntOut ? `${reading.colour}, burnt out` : reading.colour,
  };
}

/** So many decimals, with a true minus sign, and none before nothing but zeros. */
export function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
}

/** Below this share the tables of white light are not trusted, and nobody sees anything. */
const NOTHING = 1e-6;

function percent(share: number): string {
  return share < NOTHING ? '0 %' : `${formatNumber(100 * share, share < 0.1 ? 2 : 3)} %`;
}

function times(share: number): string {
  return `${share < 1e-4 ? '0' : formatNumber(share, share < 0.1 ? 2 : 3)} × one slit`;
}
