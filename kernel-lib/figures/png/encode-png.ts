import { encode } from 'fast-png';
import { base64 } from '../../display/base64';

/** Pixels as a PNG file, packed well without making a live picture wait. `channels` is 3 for RGB, 4 with alpha. */
export function encodePng(picture: {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array | Uint8ClampedArray;
  readonly channels: 3 | 4;
}): Uint8Array {
  return encode({ ...picture, depth: 8 }, { zlib: { level: 6 } });
}

/** A `data:` address of a PNG picture. */
export function pngAddress(png: Uint8Array): string {
  return `data:image/png;base64,${base64(png)}`;
}
