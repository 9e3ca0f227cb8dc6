import { D65_CHROMATICITY, dominantWavelength, excitationPurity } from './dominant-wavelength';
import type { Chromaticity } from './light';

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
