import { type Aperture, slits, slitsAt } from '../../../kernel-lib/aperture/aperture';

export type Mode = 'equal' | 'uneven';
export const [width, spacing] = [40e-6, 100e-6];

/** Slits 40 µm wide, 100 µm apart; uneven ones up to 0.1 µm beside their places, and as much wider or narrower. */
export function rowOfSlits(count: number, mode: Mode): Aperture {
  const equal = slits(count, { width, spacing });
  if (mode === 'equal') return equal;
  return slitsAt(
    equal.slits.map((slit, i) => ({
      centre: slit.centre + 1e-7 * Math.sin(i * i),
      width: slit.width + 1e-7 * Math.cos(i * i),
    })),
  );
}
