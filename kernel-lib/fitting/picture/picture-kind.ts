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
export const mostPixels = 120e6;

const others: readonly [what: string, start: string, from: number][] = [
  ['a GIF', 'GIF8', 0],
  ['a TIFF or a raw camera file', 'II*', 0],
  ['a TIFF or a raw camera file', 'MM', 0],
  ['a WebP', 'WEBP', 8],
  ['a HEIC or AVIF', 'ftyp', 4],
  ['a BMP', 'BM', 0],
  ['a PDF', '%PDF', 0],
  ['a zip (or an office document)', 'PK', 0],
];

/**
 * What kind of picture the bytes are; a file's name says nothing.
 *
 * @throws RangeError for anything but PNG and JPEG, saying what it looks like
 */
export function pictureKind(bytes: Uint8Array): 'PNG' | 'JPEG' {
  if (!(bytes instanceof Uint8Array)) {
    throw new TypeError('A picture is read from its bytes: give a Uint8Array.');
  }
  const head = String.fromCharCode(...bytes.subarray(0, 16));
  if (head.startsWith('\x89PNG\r\n\x1a\n')) return 'PNG';
  if (head.startsWith('\xff\xd8\xff')) return 'JPEG';
  const found = others.find(([, start, from]) => head.startsWith(start, from));
  const text = [...bytes.subarray(0, 200)].every((b) => b > 8 && b < 127);
  const what =
    bytes.length === 0 ? 'empty' : found ? found[0] : text ? 'text' : 'of a kind that is not known';
  throw new RangeError(
    `This file is ${what}, whatever its name says: a picture must be PNG or JPEG. Save it as one of these.`,
  );
}

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
