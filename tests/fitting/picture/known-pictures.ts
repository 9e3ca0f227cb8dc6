import { encodePicture } from '../../../kernel-lib/fitting/slits/slit-picture';

export type Colour = readonly [red: number, green: number, blue: number];

export function greyPicture(
  width: number,
  height: number,
  level: (x: number, y: number) => number,
) {
  const data = Uint8Array.from({ length: width * height }, (_, i) =>
    level(i % width, Math.floor(i / width)),
  );
  return encodePicture({ width, height, channels: 1, data });
}

export function colourPicture(
  width: number,
  height: number,
  level: (x: number, y: number) => Colour,
) {
  const data = Uint8Array.from(
    Array.from({ length: width * height }, (_, i) => [
      ...level(i % width, Math.floor(i / width)),
    ]).flat(),
  );
  return encodePicture({ width, height, channels: 3, data });
}

/** Nothing found, nothing undone: the mean of the pixels as they are. */
export const plain = { pixel: 1, tilt: 0, curve: 'linear' } as const;
export const in255 = (profile: { y: Float64Array }) =>
  Array.from(profile.y, (y) => Math.round(y * 2550) / 10);
