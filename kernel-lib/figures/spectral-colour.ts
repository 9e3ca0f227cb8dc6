import { colourMatching } from '../light/observer';
import { encoded, linearSrgb, srgb } from '../light/srgb';

// Past these ends the eye's response is too weak to name another hue.
const shortest = 400e-9;
const longest = 700e-9;
/** Luminance at which a stroke still stands out from white paper about 3 to 1. */
const darkest = 0.26;

/** Encoded 0…1 channels as CSS writes them. */
export function css(channels: readonly number[]): string {
  return `rgb(${channels.map((c) => Math.round(c * 255)).join(',')})`;
}

/**
 * A colour that stands for one wavelength on paper.
 *
 * @param wavelength λ, m; the ends of the spectrum keep the hue of 400 and 700 nm
 * @param pale share of white, 0…1; at 0 it is dark enough for a thin stroke
 */
export function spectralColour(wavelength: number, pale: number): string {
  const seen = colourMatching(Math.min(longest, Math.max(shortest, wavelength)));
  const most = Math.max(...linearSrgb(seen));
  const colour = srgb(seen, { exposure: 1 / most });
  if (pale > 0) return css(colour.map((c) => c * (1 - pale) + pale));
  const linear = colour.map((c) => ((c + 0.055) / 1.055) ** 2.4);
  const luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2];
  const dim = Math.min(1, darkest / luminance);
  return css(linear.map((c) => encoded(c * dim)));
}
