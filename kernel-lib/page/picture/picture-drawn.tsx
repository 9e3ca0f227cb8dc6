import type { PicturePoint } from '../../fitting/picture/picture-scale';
import { alongBand, atAlong, directions, type PictureSetting } from './picture-setting';
import type { PictureOutcome } from './picture-work';

/** From a place of the picture to where it is seen. */
export type ToScreen = (point: PicturePoint) => PicturePoint;

const between = (a: PicturePoint, b: PicturePoint) => ({
  x: Math.min(a.x, b.x),
  y: Math.min(a.y, b.y),
  width: Math.abs(a.x - b.x),
  height: Math.abs(a.y - b.y),
});

interface MasksProps {
  setting: PictureSetting;
  drawn: { from: PicturePoint; to: PicturePoint } | undefined;
  at: ToScreen;
}

export function Masks({ setting, drawn, at }: MasksProps) {
  const all = drawn ? [...setting.masks, drawn] : setting.masks;
  return (
    <g>
      {all.map(({ from, to }, k) => (
        <rect key={k} class="mask" {...between(at(from), at(to))} />
      ))}
    </g>
  );
}

interface DrawnProps {
  setting: PictureSetting;
  outcome: PictureOutcome;
  at: ToScreen;
  zoom: number;
}

/** The band: its line, its edges, and where it is saturated. */
export function BandDrawn({ setting, outcome, at }: DrawnProps) {
  const { band } = setting;
  const { across } = directions(setting);
  const half = band.width / 2;
  const beside = (point: PicturePoint, side: number) =>
    at({ x: point.x + side * half * across.x, y: point.y + side * half * across.y });
  const rim = [
    beside(band.from, 1),
    beside(band.to, 1),
    beside(band.to, -1),
    beside(band.from, -1),
  ];
  const line = (from: PicturePoint, to: PicturePoint) => ({
    x1: from.x,
    y1: from.y,
    x2: to.x,
    y2: to.y,
  });
  return (
    <g class="band">
      <polygon class="halo" points={rim.map(({ x, y }) => `${x},${y}`).join(' ')} />
      <polygon points={rim.map(({ x, y }) => `${x},${y}`).join(' ')} />
      <line class="middle" {...line(at(band.from), at(band.to))} />
      {fullParts(outcome).map(({ from, to }) => (
        <line key={from} class="full" {...line(at(atAlong(band, from)), at(atAlong(band, to)))} />
      ))}
    </g>
  );
}

/** Where along the band pixels were full, pixels from its first end. */
function fullParts({ profile }: PictureOutcome): { from: number; to: number }[] {
  if (!profile) return [];
  const { line, x, saturated } = profile;
  const length = Math.hypot(line.to.x - line.from.x, line.to.y - line.from.y);
  const span = x[x.length - 1] - x[0] || 1;
  const parts: { from: number; to: number }[] = [];
  let from = -1;
  for (let i = 0; i <= x.length; i++) {
    if (i < x.length && saturated[i]) {
      if (from < 0) from = i;
    } else if (from >= 0) {
      const along = (k: number) => (length * (x[k] - x[0])) / span;
      parts.push({ from: along(from), to: along(i - 1) });
      from = -1;
    }
  }
  // The line of a picture made smaller is shorter by its factor; the parts are shares of it all the same.
  return parts;
}

/** Marks of the scale, and marked places with their orders. */
export function MarksDrawn({ setting, outcome, at, zoom }: DrawnProps) {
  const { scale, band, marked } = setting;
  const { across } = directions(setting);
  const reach = Math.max(band.width / 2, 8 / zoom) + 6 / zoom;
  const marks = scale.by === 'pixel' ? [] : scale.marks;
  const labelled = apart(marked.map((one) => zoom * alongBand(band, one)));
  return (
    <g>
      {marks.length > 1 && (
        <polyline
          class="ruler"
          points={[...marks, ...(marks.length === 4 ? [marks[0]] : [])]
            .map(at)
            .map(({ x, y }) => `${x},${y}`)
            .join(' ')}
        />
      )}
      {marks.map((mark, k) => {
        const { x, y } = at(mark);
        return (
          <g key={k} class="scale-mark" transform={`translate(${x} ${y})`}>
            <path d="M-9 0H9M0 -9V9" class="halo" />
            <path d="M-9 0H9M0 -9V9" />
            <text x={8} y={-8}>
              {k + 1}
            </text>
          </g>
        );
      })}
      {marked.map((one, k) => {
        const on = atAlong(band, alongBand(band, one));
        const [a, b] = [1, -1].map((side) =>
          at({ x: on.x + side * reach * across.x, y: on.y + side * reach * across.y }),
        );
        const top = a.y < b.y ? a : b;
        return (
          <g key={k} class="marked">
            <line class="halo" x1={a.x} y1={a.y} x2={b.x} y2={b.y} />
            <line x1={a.x} y1={a.y} x2={b.x} y2={b.y} />
            <text x={top.x} y={top.y - 4} text-anchor="middle">
              {labelled.has(k) && outcome.orders[k]}
            </text>
          </g>
        );
      })}
    </g>
  );
}

export const Cross = ({ x, y }: PicturePoint) => (
  <g class="cross" transform={`translate(${x} ${y})`}>
    <path class="halo" d="M-14 0H-3M3 0H14M0 -14V-3M0 3V14" />
    <path d="M-14 0H-3M3 0H14M0 -14V-3M0 3V14" />
  </g>
);

/** Which of the labels at these places stand clear of each other, px. */
export function apart(places: readonly number[], least = 18): Set<number> {
  const ranks = places.map((_, k) => k).sort((a, b) => places[a] - places[b]);
  const clear = new Set<number>();
  let last = Number.NEGATIVE_INFINITY;
  for (const k of ranks) {
    if (places[k] - last < least) continue;
    clear.add(k);
    last = places[k];
  }
  return clear;
}
