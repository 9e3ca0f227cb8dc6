import { encode } from 'fast-png';

/** Pixels as a PNG file, packed as small as deflate makes it. `channels` is 3 for RGB, 4 with alpha. */
export function encodePng(picture: {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array | Uint8ClampedArray;
  readonly channels: 3 | 4;
}): Uint8Array {
  return encode({ ...picture, depth: 8 }, { zlib: { level: 9 } });
}
