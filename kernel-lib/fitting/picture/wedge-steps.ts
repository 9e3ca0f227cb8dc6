import { requireWhole } from '../../numerics/require';
import { upright } from './lanes';
import type { PicturePoint } from './picture-scale';
import { readPicture } from './read-picture';

/** Where a step wedge is seen in a photograph. Pixels of the upright picture. */
export interface WedgePlace {
  /** Middle of the first step. */
  readonly first: PicturePoint;
  /** Middle of the last step. */
  readonly last: PicturePoint;
  /** How many steps there are, default 16. */
  readonly steps?: number;
  /** Number of the channel: 0 red or grey, 1 green, 2 blue; default 1 of colour pictures. */
  readonly channel?: number;
}

/**
 * The mean code of each step of a wedge in a photograph: what `curveFromWedge` takes. Of each step the inner half is read.
 *
 * @param file PNG or JPEG: its bytes, or the name of one beside the notebook
 * @param place the middles of the first and the last step, clicked on
 * @returns codes 0…1, from the first step to the last
 * @throws RangeError when the wedge lies outside the picture, or its steps are narrower than 6 pixels
 * @example
 * const wedge = encodePicture({ width: 20, height: 10, channels: 1, data: Uint8Array.from({ length: 200 }, (_, i) => (i % 20 < 10 ? 51 : 255)) });
 * wedgeSteps(wedge, { first: { x: 4.5, y: 5 }, last: { x: 14.5, y: 5 }, steps: 2 }) // [0.2, 1]
 */
export function wedgeSteps(file: Uint8Array | string, place: WedgePlace): number[] {
  const picture = readPicture(file);
  const { first, last, steps = 16, channel = picture.channels === 3 ? 1 : 0 } = place;
  requireWhole('steps', steps, 2, 256);
  requireWhole('channel', channel, 0, picture.channels - 1);
  const size = upright(picture.orientation, picture.width, picture.height);
  for (const [name, { x, y }] of Object.entries({ first, last }))
    if (!(x >= 0 && y >= 0 && x < size.width && y < size.height))
      throw new RangeError(
        `The middle of the ${name} step is (${x}, ${y}), outside the picture of ${size.width} × ${size.height} pixels.`,
      );
  const [dx, dy] = [(last.x - first.x) / (steps - 1), (last.y - first.y) / (steps - 1)];
  const step = Math.hypot(dx, dy);
  if (!(step >= 6))
    throw new RangeError(
      `The steps are ${step.toFixed(1)} pixels wide: at least 6 are needed. Photograph the wedge from nearer.`,
    );
  const sums = new Float64Array(steps);
  const hits = new Float64Array(steps);
  picture.each((row, line) => {
    for (let column = 0; column < picture.width; column++) {
      const x = size.across[0] * column + size.across[1] * line + size.across[2] - first.x;
      const y = size.down[0] * column + size.down[1] * line + size.down[2] - first.y;
      const along = (x * dx + y * dy) / step ** 2;
      const across = Math.abs(y * dx - x * dy) / step ** 2;
      const k = Math.round(along);
      if (k < 0 || k >= steps || Math.abs(along - k) > 0.25 || across > 0.5) continue;
      sums[k] += row[picture.channels * column + channel];
      hits[k]++;
    }
  });
  return Array.from(sums, (sum, k) => sum / hits[k] / picture.full);
}
