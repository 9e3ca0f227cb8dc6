/** Numbers per pixel of each colour type that exists. */
export const channelsOf: Readonly<Record<number, number>> = { 0: 1, 2: 3, 3: 1, 4: 2, 6: 4 };

/** Bits per number that each colour type allows. */
export const depthsOf: Readonly<Record<number, readonly number[]>> = {
  0: [1, 2, 4, 8, 16],
  2: [8, 16],
  3: [1, 2, 4, 8],
  4: [8, 16],
  6: [8, 16],
};

/** Everything that a PNG says before its pixels, and where these are. */
export interface PngHeader {
  readonly width: number;
  readonly height: number;
  readonly depth: number;
  readonly colour: number;
  readonly interlaced: boolean;
  readonly palette?: Uint8Array;
  readonly exif?: Uint8Array;
  readonly data: readonly Uint8Array[];
}

/**
 * Walk through the chunks of a PNG.
 *
 * @throws RangeError when there is no picture in it
 * @see W3C Portable Network Graphics (PNG) Specification, section 5 (from memory)
 */
export function readPngChunks(bytes: Uint8Array): PngHeader {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const data: Uint8Array[] = [];
  let header: Omit<PngHeader, 'data' | 'palette' | 'exif'> | undefined;
  let palette: Uint8Array | undefined;
  let exif: Uint8Array | undefined;
  for (let at = 8; at + 12 <= bytes.length; ) {
    const length = view.getUint32(at);
    const type = String.fromCharCode(...bytes.subarray(at + 4, at + 8));
    const body = bytes.subarray(at + 8, Math.min(at + 8 + length, bytes.length));
    if (type === 'IHDR' && body.length >= 13) {
      header = {
        width: view.getUint32(at + 8),
        height: view.getUint32(at + 12),
        depth: body[8],
        colour: body[9],
        interlaced: body[12] === 1,
      };
    } else if (type === 'PLTE') palette = body;
    else if (type === 'eXIf') exif = body;
    else if (type === 'IDAT') data.push(body);
    else if (type === 'IEND') break;
    at += 12 + length;
  }
  if (!header || data.length === 0) throw damagedPng('it has no picture in it');
  if (header.colour === 3 && !palette) throw damagedPng('its palette is missing');
  return { ...header, palette, exif, data };
}

export const damagedPng = (why: string) =>
  new RangeError(`This PNG is damaged: ${why}. Save or copy the file again.`);
