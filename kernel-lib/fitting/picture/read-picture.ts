import { bytesOf } from '../file-beside';
import type { PictureRows } from './picture-rows';
import { readJpeg } from './read-jpeg';
import { readPng } from './read-png';

/**
 * Open a picture: size, kind and orientation at once, its rows when they are asked for.
 *
 * @param file a PNG or JPEG file: the name of one beside the notebook, such as `my.jpg`, or its bytes
 * @throws RangeError when it is something else, damaged, has more than 120 million pixels, or there is none of that name
 * @example readPicture(encodePicture({ width: 3, height: 1, channels: 1, data: Uint8Array.of(0, 128, 255) })).width // 3
 */
export function readPicture(file: Uint8Array | string): PictureRows {
  const bytes = bytesOf(file);
  return pictureKind(bytes) === 'PNG' ? readPng(bytes) : readJpeg(bytes);
}

const others: readonly [what: string, start: string, from: number][] = [
  ['a GIF', 'GIF8', 0],
  ['a TIFF or a raw camera file', 'II*', 0],
  ['a TIFF or a raw camera file', 'MM', 0],
  ['a WebP', 'WEBP', 8],
  ['a HEIC', 'ftyphe', 4],
  ['a HEIC', 'ftypmif1', 4],
  ['an AVIF', 'ftypavif', 4],
  ['a film', 'ftyp', 4],
  ['a BMP', 'BM', 0],
  ['a PDF', '%PDF', 0],
  ['a zip (or an office document)', 'PK', 0],
];

/** How the format that phones save by themselves becomes one that is read. */
const fromHeic =
  'Phones save so by themselves: set the camera to its most compatible format before you photograph, or open the picture on the phone or computer and export, share or print it as JPEG.';

/**
 * What kind of picture the bytes are; a file's name says nothing.
 *
 * @throws RangeError for anything but PNG and JPEG, saying what it looks like
 */
function pictureKind(bytes: Uint8Array): 'PNG' | 'JPEG' {
  if (!(bytes instanceof Uint8Array)) {
    throw new TypeError(
      'A picture is read from its bytes (a Uint8Array), or from a file beside the notebook by its name in quotes.',
    );
  }
  const head = String.fromCharCode(...bytes.subarray(0, 16));
  if (head.startsWith('\x89PNG\r\n\x1a\n')) return 'PNG';
  if (head.startsWith('\xff\xd8\xff')) return 'JPEG';
  const found = others.find(([, start, from]) => head.startsWith(start, from));
  const text = [...bytes.subarray(0, 200)].every((b) => b > 8 && b < 127);
  const what =
    bytes.length === 0 ? 'empty' : found ? found[0] : text ? 'text' : 'of a kind that is not known';
  throw new RangeError(
    `This file is ${what}, whatever its name says: a picture must be PNG or JPEG. ${what === 'a HEIC' ? fromHeic : 'Save it as one of these.'}`,
  );
}
