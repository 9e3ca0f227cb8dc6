import { once } from '../numerics/once';
import { requireNumbers } from '../numerics/require';
import type { Chromaticity } from './light';
import { observer } from './observer';

/** x, y of D65, the white when no other is given (IEC 61966-2-1). */
export const D65_CHROMATICITY: Chromaticity = [0.3127, 0.329];

/** The pure hue of a colour: a wavelength, m, and whether it is the hue itself or, for purples, its opposite. */
export interface DominantWavelength {
  readonly wavelength: number;
  readonly kind: 'dominant' | 'complementary';
}

/**
 * The wavelength of the spectrum that, mixed with white, gives a colour. Purples have none; for them
 * it is the wavelength that mixes with the purple to white, and `kind` says 'complementary'.
 *
 * A straight line in the x, y diagram from the white through the colour meets the spectral locus at
 * the dominant wavelength; backwards, at the complementary one.
 *
 * @param colour x, y, such as chromaticity(xyz(light)) gives
 * @param white x, y of the white, default D65
 * @returns wavelength, m (380–699 nm), and kind
 * @throws RangeError for the white itself, which has no hue, or a white outside the spectral locus
 * @see CIE 015; CIE International Lighting Vocabulary, 17-23-064
 * @example dominantWavelength([0.64, 0.33]).wavelength // 6.113e-7
 */
export function dominantWavelength(
  colour: Chromaticity,
  white: Chromaticity = D65_CHROMATICITY,
): DominantWavelength {
  const ahead = edge(colour, white);
  if (ahead.wavelength !== undefined) return { wavelength: ahead.wavelength, kind: 'dominant' };
  const { wavelength } = edge(opposite(colour, white), white);
  return { wavelength: wavelength!, kind: 'complementary' };
}

/**
 * How near a colour is to a pure one: 0 for white, 1 for the spectrum and for the purest purples.
 *
 *   p = distance white–colour / distance white–edge, in the x, y diagram
 *
 * @param colour x, y
 * @param white x, y of the white, default D65
 * @returns purity, without unit; slightly above 1 only by rounding
 * @throws RangeError for a white outside the spectral locus, or what is not finite
 * @see CIE 015; CIE International Lighting Vocabulary, 17-23-066
 * @example excitationPurity([0.3127, 0.329]) // 0
 */
export function excitationPurity(
  colour: Chromaticity,
  white: Chromaticity = D65_CHROMATICITY,
): number {
  if (colour[0] === white[0] && colour[1] === white[1]) return 0;
  return 1 / edge(colour, white).along;
}

function opposite(colour: Chromaticity, white: Chromaticity): Chromaticity {
  return [2 * white[0] - colour[0], 2 * white[1] - colour[1]];
}

function edge(colour: Chromaticity, white: Chromaticity) {
  const mend = 'give [x, y] as chromaticity(xyz(light)) does';
  for (const [name, point] of Object.entries({ colour, white }))
    requireNumbers(name, point, mend, { count: 2 });
  if (colour[0] === white[0] && colour[1] === white[1]) {
    throw new RangeError(
      `The colour x, y = ${colour.join(', ')} is the white itself, which has no dominant wavelength: give another colour or another white.`,
    );
  }
  const found = edgeOfColours(white, colour);
  // From inside there is an edge on either hand.
  if (!found || !edgeOfColours(white, opposite(colour, white))) {
    throw new RangeError(
      `The white x, y = ${white.join(', ')} lies outside the colours there are: give one inside the spectral locus, such as [0.3127, 0.329].`,
    );
  }
  return found;
}

/**
 * The spectral locus where it bends: x, y of each nanometre from 380 to 699 nm. Beyond these ends the
 * colours of the spectrum do not change in the table by more than its own rounding.
 */
export const spectralLocus = once(() => {
  const { wavelengths, x, y, z } = observer();
  const points: { wavelength: number; at: Chromaticity }[] = [];
  for (let i = 0; i < wavelengths.length; i++) {
    const nanometres = Math.round(wavelengths[i] * 1e9);
    if (nanometres < 380 || nanometres > 699) continue;
    const sum = x[i] + y[i] + z[i];
    points.push({ wavelength: wavelengths[i], at: [x[i] / sum, y[i] / sum] });
  }
  return points;
});

/** Where a ray from `from` towards `through` crosses the segment a–b: how far along each, or undefined. */
function crossing(from: Chromaticity, through: Chromaticity, a: Chromaticity, b: Chromaticity) {
  const [dx, dy] = [through[0] - from[0], through[1] - from[1]];
  const [ex, ey] = [b[0] - a[0], b[1] - a[1]];
  const cross = dx * ey - dy * ex;
  if (cross === 0) return undefined;
  const [fx, fy] = [a[0] - from[0], a[1] - from[1]];
  const along = (fx * ey - fy * ex) / cross;
  const between = (fx * dy - fy * dx) / cross;
  return along > 0 && between >= -1e-12 && between <= 1 + 1e-12 ? { along, between } : undefined;
}

/**
 * Where the ray from a white through a colour leaves the region of real colours.
 *
 * @returns `along`: distance to the edge over distance to the colour; `wavelength`, m, when the edge is
 *   the spectral locus, undefined on the line of purples
 */
function edgeOfColours(
  white: Chromaticity,
  through: Chromaticity,
): { along: number; wavelength?: number } | undefined {
  const locus = spectralLocus();
  for (let i = 1; i < locus.length; i++) {
    const found = crossing(white, through, locus[i - 1].at, locus[i].at);
    if (!found) continue;
    const step = locus[i].wavelength - locus[i - 1].wavelength;
    return { along: found.along, wavelength: locus[i - 1].wavelength + found.between * step };
  }
  const purple = crossing(white, through, locus[locus.length - 1].at, locus[0].at);
  return purple && { along: purple.along };
}

/** Upper ends of the hues along the spectrum, m. */
const hues: readonly [to: number, name: string][] = [
  [450e-9, 'violet'],
  [482e-9, 'blue'],
  [498e-9, 'blue-green'],
  [552e-9, 'green'],
  [570e-9, 'yellow-green'],
  [581e-9, 'yellow'],
  [592e-9, 'amber'],
  [610e-9, 'orange'],
  [Number.POSITIVE_INFINITY, 'red'],
];
/** Purples whose opposite lies below this, m, lean to red. */
const RED_PURPLE_TO = 520e-9;
/** Below this purity a colour is called white, below the next one pale. */
const WHITE_TO = 0.2;
const PALE_TO = 0.4;

/**
 * A plain name for a colour, for learners. The regions are this library's own:
 *
 *   purity below 0.2                white (sunlight and daylight are)
 *   purity 0.2 … 0.4                "pale" and the hue's name
 *   dominant wavelength up to       450 violet · 482 blue · 498 blue-green · 552 green ·
 *                                   570 yellow-green · 581 yellow · 592 amber · 610 orange, above: red (nm)
 *   complementary wavelength        up to 520 nm red-purple, above: purple
 *
 * It judges hue and purity, not brightness, so brown is called orange and grey is called white.
 *
 * @param colour x, y, such as chromaticity(xyz(light)) gives
 * @param white x, y of what counts as white, default D65; the light itself for what an adapted eye sees
 * @throws RangeError for what is not finite, or a white outside the spectral locus
 * @example colourName([0.28, 0.12]) // 'purple'
 */
export function colourName(colour: Chromaticity, white: Chromaticity = D65_CHROMATICITY): string {
  const purity = excitationPurity(colour, white);
  if (purity < WHITE_TO) return 'white';
  const { wavelength, kind } = dominantWavelength(colour, white);
  const hue =
    kind === 'dominant'
      ? hues.find(([to]) => wavelength <= to)![1]
      : wavelength <= RED_PURPLE_TO
        ? 'red-purple'
        : 'purple';
  return purity < PALE_TO ? `pale ${hue}` : hue;
}
