import { amplitude } from '../aperture/amplitude';
import type { Aperture } from '../aperture/aperture';
import { fresnelNumber, nearField } from '../aperture/near-field';
import { requirePositive, requireWhole } from '../numerics/require';
import { formatNumber } from '../quantity/format-number';
import { type Layer, type Panel, styleOf, thin } from './chart';
import { type Figure, figureOf } from './figure';
import { shownLength } from './shown';

export interface NearToFarOptions {
  /** Width of the screen shown, m; wide enough for the farthest pattern unless told. */
  readonly span?: number;
  /** Number of places computed, default 801. */
  readonly points?: number;
  readonly title?: string;
}

/**
 * Irradiance behind an aperture at several distances, nearest on top, each with the far-field formula
 * dashed: where the two agree, Fraunhofer's formula may be used.
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param distances from the aperture to the screen, m
 * @param options `span` of the screen, m
 * @returns a Figure; irradiance relative to that without aperture
 * @throws RangeError, TypeError as `nearField`; RangeError for no distances or more than 8
 * @example nearToFar(slits(1, { width: 5e-4 }), 550e-9, [0.02, 1]).kind // 'near-to-far'
 */
export function nearToFar(
  aperture: Aperture,
  wavelength: number,
  distances: readonly number[],
  options: NearToFarOptions = {},
): Figure {
  const { points = 801, title = 'Irradiance E relative to E₀ without slits' } = options;
  if (!Array.isArray(distances) || distances.length < 1 || distances.length > 8) {
    throw new RangeError(
      'nearToFar() needs a list of 1 to 8 distances in metres, such as [0.02, 0.1, 0.5, 2].',
    );
  }
  requireWhole('The number of points', points, 10, 100_000);
  const sorted = [...distances].sort((a, b) => a - b);
  const numbers = sorted.map((distance) => fresnelNumber(aperture, wavelength, distance));
  const span = options.span ?? spanFor(aperture, wavelength, sorted[sorted.length - 1]);
  requirePositive('span', span, 'give the width of the screen in metres');
  const x = Array.from({ length: points }, (_, i) => span * (i / (points - 1) - 0.5));
  const peaks: number[] = [];
  const panels = sorted.map((distance, n): Panel => {
    const near = nearField(aperture, wavelength, distance, x);
    const far = x.map((at) => {
      const { re, im } = amplitude(aperture, wavelength, at / distance);
      return (re * re + im * im) / (wavelength * distance);
    });
    const highest = near.reduce((a, b) => Math.max(a, b));
    peaks.push(highest);
    const draw = (y: ArrayLike<number>, k: number, name: string): Layer => {
      const curve = thin(x, y);
      return { type: 'line', x: curve.x.map((v) => v * 1e3), y: curve.y, name, style: styleOf(k) };
    };
    const text = `z = ${shownLength(distance)}, F = ${formatNumber(numbers[n], 2)}`;
    // Near the slits the far-field formula has no bound; the panel shows the true curve whole.
    const range = [0, 1.32 * highest] as const;
    const label = { x: -span * 495, y: 1.17 * highest, text, anchor: 'start' as const };
    return {
      height: sorted.length > 4 ? 70 : 90,
      y: { quantity: 'E / E₀', unit: 'ratio', range },
      layers: [
        draw(far, 1, 'far-field formula'),
        draw(near, 0, 'at this distance'),
        { type: 'text', ...label },
      ],
    };
  });
  const told = sorted.map(
    (distance, n) =>
      `${shownLength(distance)} (Fresnel number ${formatNumber(numbers[n], 2)}, highest ${formatNumber(peaks[n], 3)})`,
  );
  return figureOf({
    kind: 'near-to-far',
    alt: `Irradiance relative to that without slits over ${shownLength(span)} of a screen at ${told.join(', ')}, wavelength ${shownLength(wavelength)}; far-field formula dashed.`,
    title,
    x: { quantity: 'position on the screen x', unit: 'mm', range: [-span * 500, span * 500] },
    panels,
  });
}

/** The slits' shadow and the first side maximum of the narrowest slit at the greatest distance. */
function spanFor({ slits }: Aperture, wavelength: number, farthest: number): number {
  const edges = slits.flatMap(({ centre, width }) => [Math.abs(centre) + width / 2]);
  const narrowest = Math.min(...slits.map(({ width }) => width));
  return 2 * (Math.max(...edges) * 1.2 + (1.6 * wavelength * farthest) / narrowest);
}
