/** Rows of a picture as they are decoded: `channels` numbers a pixel (1 grey, 3 red green blue), 0…`full`. */
export interface PictureRows {
  readonly kind: 'PNG' | 'JPEG';
  readonly width: number;
  readonly height: number;
  readonly channels: 1 | 3;
  /** 255 or 65535. */
  readonly full: number;
  /** EXIF orientation 1…8: how the rows must be turned to be seen upright; 1 is as they are. */
  readonly orientation: number;
  /** Decode once, handing over each row from the top; the row is only valid during the call. */
  readonly each: (take: (row: ArrayLike<number>, y: number) => void) => void;
}

/** Larger pictures are refused before anything is decoded. */
const mostPixels = 120e6;

/** The size, checked before memory is asked for. */
export function checkSize(width: number, height: number): void {
  if (!(width > 0 && height > 0)) {
    throw new RangeError(
      `The picture says it is ${width} × ${height} pixels: the file is damaged.`,
    );
  }
  if (width * height > mostPixels || Math.max(width, height) > 65535) {
    throw new RangeError(
      `The picture has ${(width * height) / 1e6} million pixels (${width} × ${height}); at most ${mostPixels / 1e6} million, and 65535 along a side, are read. Cut it to the pattern first.`,
    );
  }
}

/**
 * Orientation 1…8 in a block of EXIF (a little TIFF); 1 when there is none.
 *
 * @param exif from its byte-order mark on
 * @see CIPA DC-008 (Exif 2.3), tag 0x0112 (from memory)
 */
export function exifOrientation(exif: Uint8Array): number {
  if (exif.length < 14) return 1;
  const view = new DataView(exif.buffer, exif.byteOffset, exif.byteLength);
  const order = view.getUint16(0);
  if (order !== 0x4949 && order !== 0x4d4d) return 1;
  const little = order === 0x4949;
  const directory = view.getUint32(4, little);
  if (directory + 2 > exif.length) return 1;
  const entries = view.getUint16(directory, little);
  for (let k = 0; k < entries; k++) {
    const at = directory + 2 + 12 * k;
    if (at + 12 > exif.length) return 1;
    if (view.getUint16(at, little) !== 0x0112) continue;
    const value = view.getUint16(at + 8, little);
    return value >= 1 && value <= 8 ? value : 1;
  }
  return 1;
}
