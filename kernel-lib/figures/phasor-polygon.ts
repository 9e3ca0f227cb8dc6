import type { Phasor } from '../aperture/phasors';
import { formatNumber } from '../quantity/format-number';
import { type Layer, styleOf } from './chart';
import { type Figure, figureOf } from './figure';
import { counted } from './shown';

export interface PhasorPolygonOptions {
  readonly title?: string;
}

/**
 * The vector polygon of an aperture in one direction: one arrow for each slit, tip to tail, and the
 * dashed arrow that is their sum.
 *
 * @param phasors what `phasors(aperture, wavelength, s)` returns
 * @returns a Figure
 * @throws TypeError when it is not a list of phasors
 * @example phasorPolygon(phasors(slits(4, { width: 1e-5, spacing: 5e-5 }), 5e-7, 0)).kind // 'phasors'
 */
export function phasorPolygon(
  phasors: readonly Phasor[],
  options: PhasorPolygonOptions = {},
): Figure {
  if (!Array.isArray(phasors) || phasors.length === 0 || phasors[0]?.to?.re === undefined) {
    throw new TypeError(
      'phasorPolygon() needs a list of phasors. Pass what phasors(aperture, wavelength, s) returns.',
    );
  }
  const sum = phasors[phasors.length - 1].to;
  const length = Math.hypot(sum.re, sum.im);
  // What rounding leaves of a closed polygon is no amplitude.
  const amplitude = length < 1e-12 ? 0 : length;
  const intensity = formatNumber(amplitude ** 2, 3);
  const count = counted(phasors.length, 'slit');
  const arrows: Layer = {
    type: 'strokes',
    arrows: true,
    strokes: phasors.map(({ from, to }) => [from.re, from.im, to.re, to.im] as const),
    name: count,
    style: { ...styleOf(0), width: 2 },
  };
  const result: Layer = {
    type: 'strokes',
    arrows: true,
    strokes: [[0, 0, sum.re, sum.im]],
    name: `sum A, |A|² = ${intensity}`,
    style: styleOf(1),
  };
  return figureOf({
    kind: 'phasors',
    alt: `Vector polygon of ${count}: arrows of length ${lengths(phasors)} add up to an amplitude of ${formatNumber(amplitude, 3)}, so the intensity is ${intensity} of that at s = 0.`,
    title: options.title,
    equalScales: true,
    x: { quantity: 'real part of the amplitude A / A₀', unit: 'ratio', ...ends(phasors, 're') },
    panels: [
      {
        height: 300,
        y: { quantity: 'imaginary part', unit: 'ratio', ...ends(phasors, 'im') },
        layers: [arrows, result],
      },
    ],
  });
}

function lengths(phasors: readonly Phasor[]): string {
  const all = phasors.map(({ length }) => length);
  const [low, high] = [Math.min(...all), Math.max(...all)].map((v) => formatNumber(v, 3));
  return low === high ? low : `${low} to ${high}`;
}

/** Room around all corners, so that no arrow touches the frame. */
function ends(phasors: readonly Phasor[], part: 're' | 'im') {
  const all = [0, ...phasors.map(({ to }) => to[part])];
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const longest = Math.max(...phasors.map(({ length }) => length));
  const room = 0.06 * (high - low) + 0.25 * longest;
  return { range: [low - room, high + room] as const };
}
