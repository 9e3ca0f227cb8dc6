import { once } from '../numerics/once';
import { planck } from './blackbody';
import { D65_WHITE } from './delta-e';
import type { Light, XYZ } from './light';
import { observer } from './observer';
import { xyz } from './xyz';

/** Bradford's cone-like responses (Lam 1985; as in ICC.1 annex E). */
const BRADFORD = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
] as const;
/** Its inverse, as printed beside it. */
const INVERSE: readonly (readonly number[])[] = [
  [0.9869929054667123, -0.14705425642099013, 0.15996265166373125],
  [0.4323052697233946, 0.5183602715367774, 0.0492912282128556],
  [-0.008528664575177328, 0.04004282165408487, 0.9684866957875502],
];

/** Nine numbers that turn X, Y, Z into X, Y, Z, row by row. */
export type Adaptation = readonly number[];

/**
 * Chromatic adaptation: colours seen by an eye, or a camera, set for one white, as they would look
 * under D65. Each of Bradford's three responses is scaled by the ratio of the two whites.
 *
 * @param white [X, Y, Z] of the white that is to look white
 * @returns a 3 × 3 matrix, row by row; that white at Y = 1 becomes D65 at Y = 1
 * @see ICC.1:2010, annex E
 */
export function adaptationFrom(white: XYZ): Adaptation {
  const respond = (colour: XYZ) =>
    BRADFORD.map((row) => row[0] * colour[0] + row[1] * colour[1] + row[2] * colour[2]);
  const from = respond(white.map((value) => value / white[1]) as [number, number, number]);
  const gains = respond(D65_WHITE).map((to, i) => to / from[i]);
  return INVERSE.flatMap((row) =>
    [0, 1, 2].map((column) =>
      row.reduce((sum, value, k) => sum + value * gains[k] * BRADFORD[k][column], 0),
    ),
  );
}

/** CIE 1976 u′, v′. */
function evenChromaticity([x, y, z]: XYZ): [number, number] {
  const sum = x + 15 * y + 3 * z;
  return [(4 * x) / sum, (9 * y) / sum];
}

/** X, Y, Z of a black body, by every fifth nanometre: near enough to judge by. */
function glow(kelvin: number): XYZ {
  const { wavelengths, x, y, z } = observer();
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < wavelengths.length; i += 5) {
    const power = planck(wavelengths[i], kelvin);
    sum[0] += power * x[i];
    sum[1] += power * y[i];
    sum[2] += power * z[i];
  }
  return sum;
}

/** Black bodies from 2000 to 25 000 K in steps of 20 mired. */
const glowing = once(() =>
  Array.from({ length: 24 }, (_, i) => evenChromaticity(glow(1e6 / (40 + 20 * i)))),
);

/**
 * Whether a light counts as white: it has a continuum, and its colour lies within 0.02 in u′, v′ of a
 * black body's between 2000 and 25 000 K. Sunlight, daylight, a filament lamp are white; what a
 * passband or a line lamp gives is not.
 */
export function isWhite(light: Light): boolean {
  if (!light.continuum) return false;
  const [u, v] = evenChromaticity(xyz(light));
  return glowing().some(([bu, bv]) => Math.hypot(u - bu, v - bv) < 0.02);
}
