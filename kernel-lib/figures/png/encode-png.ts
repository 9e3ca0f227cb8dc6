import { encode } from 'fast-png';

/** Pixels as a PNG file, packed well without making a live picture wait. `channels` is 3 for RGB, 4 with alpha. */
export function encodePng(picture: {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array | Uint8ClampedArray;
  readonly channels: 3 | 4;
}): Uint8Array {
  return encode({ ...picture, depth: 8 }, { zlib: { level: 6 } });
}

/** Bytes as base64 text, in pieces small enough for a function's argument list. */
export function base64(bytes: Uint8Array): string {
  let binary = '';
  for (let i = 0; i < bytes.length; i += 8192) {
    binary += String.fromCharCode(...bytes.subarray(i, i + 8192));
  }
  return btoa(binary);
}

/** A `data:` address of a PNG picture. */
export function pngAddress(png: Uint8Array): string {
  return `data:image/png;base64,${base64(png)}`;
}
