import { linearInterpolant } from '../numerics/interpolation';
import { requirePositive } from '../numerics/require';
import { checkLight, type Light } from './light';

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

/**
 * Light behind a filter: each wavelength's power times the filter's transmission there.
 *
 * @param light what falls on the filter
 * @param band what the filter lets through, such as passband(650e-9, 40e-9)
 * @throws RangeError when nothing of the light passes
 * @example filtered(lamp('mercury'), passband(546e-9, 10e-9)).lines.length // 1
 */
export function filtered(light: Light, band: Passband): Light {
  checkLight(light);
  const { wavelengths, transmission } = band;
  const passes = linearInterpolant(wavelengths, transmission);
  const continuum = light.continuum && filteredContinuum(light.continuum, band, passes);
  const lines = light.lines
    ?.map((line) => ({ ...line, power: line.power * passes(line.wavelength) }))
    .filter((line) => line.power > 0);
  const seen = continuum?.power.some((power) => power > 0);
  if (!seen && !lines?.length) {
    throw new RangeError(
      `Nothing of the light "${light.name}" passes the ${band.name}: choose a band that the light has power in.`,
    );
  }
  return {
    name: `${light.name}, ${band.name}`,
    ...(light.medium && { medium: light.medium }),
    ...(light.caution && { caution: light.caution }),
    ...(seen && { continuum }),
    ...(lines?.length && { lines }),
  };
}

/** A straight piece of light times a straight piece of band is sampled at least this finely: 1/50 of the band. */
const STEPS_PER_BAND = 50;

const WIDEST_STEP = 1e-9;

function filteredContinuum(
  continuum: NonNullable<Light['continuum']>,
  band: Passband,
  passes: (wavelength: number) => number,
) {
  const from = Math.max(band.wavelengths[0], continuum.wavelengths[0]);
  const to = Math.min(band.wavelengths.at(-1)!, continuum.wavelengths.at(-1)!);
  if (!(to > from)) return undefined;
  const knots = [from, to, ...band.wavelengths, ...continuum.wavelengths]
    .filter((wavelength) => wavelength >= from && wavelength <= to)
    .sort((a, b) => a - b);
  const step = Math.min(WIDEST_STEP, (to - from) / STEPS_PER_BAND);
  const wavelengths = subdivided(knots, step);
  const powerAt = linearInterpolant(continuum.wavelengths, continuum.power);
  const power = wavelengths.map((wavelength) => powerAt(wavelength) * passes(wavelength));
  return { wavelengths, power };
}

/**
 * Ascending knots with as many equal steps put between neighbours as keep each step at or below
 * `step`; knots that agree to a millionth of a nanometre count as one.
 */
export function subdivided(knots: readonly number[], step: number): number[] {
  const fine = [knots[0]];
  for (const knot of knots) {
    const before = fine[fine.length - 1];
    if (knot - before < 1e-15) continue;
    const pieces = Math.ceil((knot - before) / step - 1e-6);
    for (let k = 1; k < pieces; k++) fine.push(before + ((knot - before) * k) / pieces);
    fine.push(knot);
  }
  return fine;
}
