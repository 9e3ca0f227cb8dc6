import { readJpeg } from './picture-jpeg';
import { type PictureRows, pictureKind } from './picture-kind';
import { readPng } from './picture-png';

/**
 * Open a picture from its bytes: size, kind and orientation at once, its rows when they are asked for.
 *
 * @param bytes a PNG or JPEG file; what it is called does not matter
 * @throws RangeError when it is something else, damaged, or has more than 120 million pixels
 * @example readPicture(encodePicture({ width: 3, height: 1, channels: 1, data: Uint8Array.of(0, 128, 255) })).width // 3
 */
export function readPicture(bytes: Uint8Array): PictureRows {
  return pictureKind(bytes) === 'PNG' ? readPng(bytes) : readJpeg(bytes);
}
