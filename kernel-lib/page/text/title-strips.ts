import { slits } from '../../aperture/slits';
import { filmStrip } from '../../camera/film-strip';
import { illuminant } from '../../light/illuminant';

const width = 40e-6;
const spacing = 100e-6;

/** One row of RGBA pixels for each number of slits: daylight, 26 mrad to each side. */
export function developed(
  counts: readonly number[],
  points: number,
): Uint8ClampedArray<ArrayBuffer>[] {
  const light = illuminant('D65');
  return counts.map((count) => {
    const aperture = count === 1 ? slits(1, { width }) : slits(count, { width, spacing });
    const { srgb } = filmStrip(aperture, light, { span: 0.052, points, exposure: 5 });
    const pixels = new Uint8ClampedArray(4 * points).fill(255);
    for (let i = 0; i < points; i++) pixels.set(srgb.subarray(3 * i, 3 * i + 3), 4 * i);
    return pixels;
  });
}
