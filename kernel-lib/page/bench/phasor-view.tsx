import type { BenchModel } from './bench-model';
import { readingWords, useReading } from './use-reading';

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
