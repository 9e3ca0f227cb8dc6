import { requireFinite } from '../numerics/require';
import type { Chromaticity } from './light';
import { edgeOfColours } from './locus';

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
  for (const value of [...colour, ...white]) {
    requireFinite('A chromaticity x or y', value, 'give [x, y] as chromaticity(xyz(light)) does');
  }
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
