import { seeded } from '../numerics/random';
import {
  requireFinite,
  requireNotNegative,
  requirePositive,
  requireWhole,
  shown,
} from '../numerics/require';
import { type Aperture, type Complex, type Slit, slitsAt, soundAperture } from './aperture';

/**
 * The aperture with one slit blocked.
 *
 * @param aperture at least two slits; it stays as it is
 * @param index which slit, counted from 0 at the smallest centre
 * @returns an aperture without that slit
 * @throws RangeError, TypeError for an index that is not there, or the only slit
 * @example blocked(slits(3, { width: 1e-5, spacing: 3e-5 }), 1).slits.length // 2
 */
export function blocked(aperture: Aperture, index: number): Aperture {
  const { slits } = soundAperture(aperture);
  requireWhole('The number of the blocked slit', index, 0, slits.length - 1);
  if (slits.length === 1)
    throw new RangeError('The only slit cannot be blocked: no light is left.');
  return slitsAt(slits.filter((_, i) => i !== index));
}

/**
 * The aperture with slits of other widths, their centres kept.
 *
 * @param aperture it stays as it is
 * @param widths a width for each slit, m
 * @returns an aperture with these widths
 * @throws RangeError for another number of widths, widths not above 0, slits that would overlap
 * @example withWidths(slits(2, { width: 1e-5, spacing: 5e-5 }), [1e-5, 2e-5]).slits[1].width // 0.00002
 */
export function withWidths(aperture: Aperture, widths: readonly number[]): Aperture {
  const { slits } = soundAperture(aperture);
  requireEach('widths', widths, slits);
  return slitsAt(slits.map((slit, i) => ({ ...slit, width: widths[i] })));
}

/**
 * The aperture with other transmissions, such as a phase plate over one slit.
 *
 * @param aperture it stays as it is
 * @param transmissions a number or { re, im } for each slit
 * @returns an aperture with these transmissions
 * @throws RangeError, TypeError for another number of transmissions, or values not finite
 * @example withTransmissions(slits(2, { width: 1e-5, spacing: 5e-5 }), [1, 0.5]).slits[1].transmission // 0.5
 */
export function withTransmissions(
  aperture: Aperture,
  transmissions: readonly (number | Complex)[],
): Aperture {
  const { slits } = soundAperture(aperture);
  requireEach('transmissions', transmissions, slits);
  return slitsAt(slits.map((slit, i) => ({ ...slit, transmission: transmissions[i] })));
}

/** What goes wrong when a grating is ruled. */
export interface RulingErrors {
  /** The same seed gives the same errors on every machine. */
  readonly seed: string | number;
  /** Standard deviation of the places, m; 0 unless told. */
  readonly place?: number;
  /** Standard deviation of the widths, m; 0 unless told. */
  readonly width?: number;
  /** An error that comes back every `period` slits, as from an uneven screw; it makes ghosts beside the orders. */
  readonly periodic?: { readonly amplitude: number; readonly period: number };
}

/**
 * The aperture with the errors of a ruling engine: random places and widths, and a periodic error of place.
 *
 * @param aperture it stays as it is
 * @param errors `seed`; `place`, `width` and `periodic.amplitude` in m, `periodic.period` in slits
 * @returns an aperture with these errors
 * @throws RangeError, TypeError for bad numbers, or errors so large that slits overlap or close
 * @example withRulingErrors(slits(1, { width: 1e-5 }), { seed: 'a' }).slits[0].width // 0.00001
 */
export function withRulingErrors(aperture: Aperture, errors: RulingErrors): Aperture {
  const { slits } = soundAperture(aperture);
  const { seed, place = 0, width = 0, periodic = { amplitude: 0, period: 1 } } = errors ?? {};
  for (const [of, deviation] of Object.entries({ places: place, widths: width }))
    requireNotNegative(`The standard deviation of the ${of}`, deviation, 'give it in metres');
  requireFinite('The amplitude of the periodic error', periodic.amplitude, 'give it in metres');
  requirePositive('The period of the periodic error', periodic.period, 'give a number of slits');
  const random = seeded(seed);
  const ruled = slits.map((slit, i) => {
    const wave = periodic.amplitude * Math.sin((2 * Math.PI * i) / periodic.period);
    const centre = slit.centre + wave + place * random.normal();
    return { ...slit, centre, width: slit.width + width * random.normal() };
  });
  const crossed = ruled.findIndex((slit, i) => i > 0 && slit.centre <= ruled[i - 1].centre);
  if (crossed > 0) {
    throw new RangeError(
      `The errors make slits ${crossed - 1} and ${crossed} change places: make them smaller than the spacing.`,
    );
  }
  return slitsAt(ruled);
}

function requireEach(name: string, list: readonly unknown[], slits: readonly Slit[]): void {
  if (Array.isArray(list) && list.length === slits.length) return;
  throw new RangeError(
    `${slits.length} ${name} are needed, one for each slit, but ${shown(list)} was given.`,
  );
}
