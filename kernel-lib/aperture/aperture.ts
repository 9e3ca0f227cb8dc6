import { requireFinite, requirePositive, requireWhole, shown } from '../numerics/require';

/** A complex amplitude. */
export interface Complex {
  readonly re: number;
  readonly im: number;
}

/** One slit: where its middle lies and how wide it is, m; `transmission` is a complex amplitude. */
export interface Slit {
  readonly centre: number;
  readonly width: number;
  readonly transmission: number | Complex;
}

/** What stands in the parallel beam: slits side by side, none overlapping, in ascending order of centre. */
export interface Aperture {
  readonly slits: readonly Slit[];
}

/** Measures of equal slits at equal spacing. */
export interface SlitMeasures {
  /** Width a of each slit, m. */
  readonly width: number;
  /** Distance d from centre to centre, m, at least the width; one slit needs none. */
  readonly spacing?: number;
  /** Complex amplitude that each slit lets through; 1 unless told. */
  readonly transmission?: number | Complex;
}

/**
 * N equal slits at equal distances, their middle at x = 0.
 *
 * @param count number of slits N, 1…100 000
 * @param measures `width` and `spacing` (centre to centre), m; `transmission`
 * @returns the aperture, slits in ascending order of centre
 * @throws RangeError for a count that is not whole, widths or spacings not above 0, overlapping slits
 * @example slits(2, { width: 40e-6, spacing: 100e-6 }).slits[1].centre // 0.00005
 */
export function slits(count: number, measures: SlitMeasures): Aperture {
  requireWhole('The number of slits', count, 1, 100_000);
  const { width, spacing, transmission = 1 } = requireMeasures(measures);
  if (count > 1 && spacing === undefined) {
    throw new TypeError(`${count} slits need a spacing: add spacing, centre to centre, in metres.`);
  }
  const step = spacing === undefined ? 0 : requireSpacing(spacing, width);
  const first = -(count - 1) / 2;
  return slitsAt(
    Array.from({ length: count }, (_, i) => ({ centre: (first + i) * step, width, transmission })),
  );
}

/** A slit as it is written down: `transmission` is 1 unless told. */
export interface SlitPlace {
  readonly centre: number;
  readonly width: number;
  readonly transmission?: number | Complex;
}

/**
 * Slits of any widths at any places.
 *
 * @param places `centre` and `width` of each slit, m; complex `transmission`. Any order; touching is allowed
 * @returns the aperture, slits in ascending order of centre
 * @throws RangeError for no slits, widths not above 0, numbers not finite, overlapping slits
 * @example slitsAt([{ centre: 1e-4, width: 2e-5 }, { centre: 0, width: 4e-5 }]).slits[0].width // 0.00004
 */
export function slitsAt(places: readonly SlitPlace[]): Aperture {
  if (!Array.isArray(places) || places.length === 0) {
    throw new RangeError(
      `An aperture needs a list of at least one slit, but ${shown(places)} was given.`,
    );
  }
  const list = places.map(slitOf).sort((a, b) => a.centre - b.centre);
  const extent = list[list.length - 1].centre - list[0].centre + list[0].width;
  for (let i = 1; i < list.length; i++) requireApart(list[i - 1], list[i], 1e-12 * extent);
  const made = Object.freeze({ slits: Object.freeze(list) });
  sound.add(made);
  return made;
}

// Apertures made here are frozen and checked; one written by hand is checked each time it is used.
const sound = new WeakSet<Aperture>();

/** An aperture as this module makes it: checked, frozen, in order. @throws as `slitsAt` */
export function soundAperture(aperture: Aperture): Aperture {
  if (sound.has(aperture)) return aperture;
  if (typeof aperture !== 'object' || aperture === null || !Array.isArray(aperture.slits)) {
    throw new TypeError(
      `An aperture was expected, but ${shown(aperture)} was given: make one with slits(count, { width, spacing }).`,
    );
  }
  return slitsAt(aperture.slits);
}

/** A transmission as a complex amplitude: plain numbers are real. */
export function asComplex(value: number | Complex): Complex {
  return typeof value === 'number' ? { re: value, im: 0 } : value;
}

function slitOf(place: SlitPlace, index: number): Slit {
  const name = `slit ${index}`;
  const { centre, width, transmission = 1 } = place ?? {};
  requireFinite(`The centre of ${name}`, centre, 'give its place in metres');
  requirePositive(`The width of ${name}`, width, 'give its width in metres');
  const { re, im } = asComplex(transmission) ?? {};
  requireFinite(`The transmission of ${name}`, re, 'give a number or { re, im }');
  requireFinite(`The imaginary part of the transmission of ${name}`, im, 'give { re, im }');
  return Object.freeze({ centre, width, transmission: im === 0 ? re : Object.freeze({ re, im }) });
}

function requireApart(left: Slit, right: Slit, slack: number): void {
  const gap = right.centre - left.centre - (left.width + right.width) / 2;
  if (gap >= -slack) return;
  throw new RangeError(
    `Slits at ${left.centre} m and ${right.centre} m overlap by ${-gap} m: ` +
      'move them apart or make them narrower.',
  );
}

function requireMeasures(measures: SlitMeasures): SlitMeasures {
  if (typeof measures !== 'object' || measures === null) {
    throw new TypeError(
      `slits needs { width, spacing } in metres after the count, but ${shown(measures)} was given.`,
    );
  }
  requirePositive('The slit width', measures.width, 'give it in metres, such as 40e-6');
  return measures;
}

function requireSpacing(spacing: number, width: number): number {
  requirePositive('The spacing', spacing, 'give it centre to centre in metres, such as 100e-6');
  if (spacing >= width * (1 - 1e-12)) return spacing;
  throw new RangeError(
    `The slits overlap: the spacing, ${spacing} m centre to centre, must be at least ` +
      `the width, ${width} m. Make the slits narrower or move them apart.`,
  );
}
