import { requirePositive } from '../numerics/require';

/** What a filter lets through: transmission (0…1) at ascending wavelengths, m; straight between, 0 outside. */
export interface Passband {
  readonly name: string;
  readonly wavelengths: readonly number[];
  readonly transmission: readonly number[];
}

/**
 * A filter that lets one band through: transmission 1 in the middle, straight edges.
 *
 * Each edge takes a fifth of the width and has its half-way point at centre ± width/2, so `width`
 * is the full width at half maximum and also the area under the curve.
 *
 * @param centre middle wavelength, m
 * @param width full width at half maximum, m (> 0, and below 5/3 of the centre)
 * @throws RangeError when one of them is not a finite number above 0, or the band reaches below 0
 * @example passband(650e-9, 40e-9).wavelengths // [626e-9, 634e-9, 666e-9, 674e-9]
 */
export function passband(centre: number, width: number): Passband {
  requirePositive('The centre of the passband', centre, 'give metres, such as 650e-9');
  requirePositive('The width of the passband', width, 'give metres, such as 40e-9');
  const outer = 0.6 * width;
  const inner = 0.4 * width;
  if (outer >= centre) {
    throw new RangeError(
      `The passband of width ${width} m around ${centre} m reaches below 0: make it narrower than ${centre / 0.6} m.`,
    );
  }
  const nanometres = (metres: number) => Number((metres * 1e9).toFixed(3));
  return {
    name: `passband ${nanometres(centre)} nm, ${nanometres(width)} nm wide`,
    wavelengths: [centre - outer, centre - inner, centre + inner, centre + outer],
    transmission: [0, 1, 1, 0],
  };
}
