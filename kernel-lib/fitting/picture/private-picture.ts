import { encode } from 'fast-png';
import { requireWhole } from '../../numerics/require';
import { bytesOf } from '../file-beside';
import { upright } from './lanes';
import type { PictureRows } from './picture-rows';
import { readPicture } from './read-picture';
import { linearFromSrgb, srgbFromLinear } from './srgb-curve';

/**
 * A picture without what a camera writes beside it: place, date, device, owner, preview, remarks, and whatever is hung on
 * behind its end. Its pixels stay as they are, byte for byte; so does which side is up.
 *
 * Kept of a JPEG: the segments that its pixels need (tables, frame, scans, the mark that tells how colours are coded), and
 * of EXIF the orientation alone. Of a PNG: header, palette, transparency, gamma, pixels, and the orientation.
 *
 * @param file a PNG or JPEG file: its bytes, or the name of one beside the notebook
 * @returns the bytes of the new file, never longer than the old by more than 40
 * @throws RangeError when the file is neither, or damaged
 * @see ITU-T T.81, annex B; W3C PNG, section 5; CIPA DC-008 (all from memory)
 * @example
 * const file = encodePicture({ width: 1, height: 1, channels: 1, data: Uint8Array.of(255) });
 * withoutMetadata(file).length === file.length // true
 */
export function withoutMetadata(file: Uint8Array | string): Uint8Array {
  const bytes = bytesOf(file);
  const { kind, orientation } = readPicture(bytes);
  const parts = kind === 'JPEG' ? jpegParts(bytes, orientation) : pngParts(bytes, orientation);
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** What `smallPicture` leaves of a picture. */
export interface SmallPictureOptions {
  /** Most pixels along the longer side, default 1600. */
  readonly most?: number;
  /** The part that is kept, upright pixels; default all. */
  readonly part?: {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
  };
}

/**
 * A picture cut and shrunk to what is needed, as a PNG that holds nothing but pixels: upright, whole squares of pixels
 * averaged as light (sRGB undone and done again).
 *
 * @param file a PNG or JPEG file: its bytes, or the name of one beside the notebook
 * @param options the part, and the most pixels along its longer side
 * @throws RangeError when the file is no picture, or the part lies outside it
 * @example
 * const file = encodePicture({ width: 4, height: 2, channels: 1, data: new Uint8Array(8).fill(99) });
 * readPicture(smallPicture(file, { most: 2 })).width // 2
 */
export function smallPicture(
  file: Uint8Array | string,
  options: SmallPictureOptions = {},
): Uint8Array {
  return encode({ ...smallPixels(readPicture(file), options), depth: 8 }, { zlib: { level: 9 } });
}

/** The pixels of `smallPicture`, of a picture that was opened already. */
export function smallPixels(picture: PictureRows, options: SmallPictureOptions = {}) {
  const turn = upright(picture.orientation, picture.width, picture.height);
  const { most = 1600 } = options;
  requireWhole('most', most, 1, 65535);
  const { part = { x: 0, y: 0, width: turn.width, height: turn.height } } = options;
  requireWhole('part.x', part.x, 0, turn.width - 1);
  requireWhole('part.y', part.y, 0, turn.height - 1);
  requireWhole('part.width', part.width, 1, turn.width - part.x);
  requireWhole('part.height', part.height, 1, turn.height - part.y);
  const factor = Math.ceil(Math.max(part.width, part.height) / most);
  const width = Math.max(1, Math.floor(part.width / factor));
  const height = Math.max(1, Math.floor(part.height / factor));
  const { channels, full } = picture;
  const linear = Float32Array.from({ length: full + 1 }, (_, code) => linearFromSrgb(code / full));
  const sums = new Float32Array(width * height * channels);
  const hits = new Uint32Array(width * height);
  picture.each((row, y) => {
    for (let x = 0; x < picture.width; x++) {
      const i = turn.across[0] * x + turn.across[1] * y + turn.across[2] - part.x;
      const j = turn.down[0] * x + turn.down[1] * y + turn.down[2] - part.y;
      const [column, line] = [Math.floor(i / factor), Math.floor(j / factor)];
      if (column < 0 || line < 0 || column >= width || line >= height) continue;
      const at = line * width + column;
      hits[at]++;
      for (let c = 0; c < channels; c++) sums[at * channels + c] += linear[row[x * channels + c]];
    }
  });
  const data = Uint8Array.from(sums, (sum, k) =>
    Math.round(255 * srgbFromLinear(Math.min(1, sum / (hits[Math.floor(k / channels)] || 1)))),
  );
  return { width, height, channels, data };
}

/** Segments that pixels need: not the application's own (but Adobe's mark of how colours are coded), not remarks. */
const isNeeded = (marker: number) => marker === 0xee || (marker < 0xe0 && marker >= 0xc0);

function jpegParts(bytes: Uint8Array, orientation: number): Uint8Array[] {
  const parts = [bytes.subarray(0, 2)];
  if (orientation !== 1) parts.push(exifSegment(orientation));
  let at = 2;
  while (at + 4 <= bytes.length) {
    if (bytes[at] !== 0xff) throw cutShort();
    const marker = bytes[at + 1];
    if (marker === 0xff) {
      at++;
      continue;
    }
    if (marker === 0xd9) break;
    const end = at + 2 + ((bytes[at + 2] << 8) | bytes[at + 3]);
    if (end > bytes.length) throw cutShort();
    if (marker !== 0xda) {
      if (isNeeded(marker)) parts.push(bytes.subarray(at, end));
      at = end;
      continue;
    }
    // A scan goes on to the next marker that is neither a stuffed byte nor a restart.
    let stop = end;
    while (stop + 1 < bytes.length) {
      const next = bytes[stop + 1];
      if (bytes[stop] === 0xff && next !== 0 && !(next >= 0xd0 && next <= 0xd7) && next !== 0xff)
        break;
      stop++;
    }
    parts.push(bytes.subarray(at, stop + 1 < bytes.length ? stop : bytes.length));
    at = stop;
  }
  parts.push(Uint8Array.of(0xff, 0xd9));
  return parts;
}

const cutShort = () =>
  new RangeError(
    'This JPEG is damaged: a segment does not begin where it should. Copy it from the camera again.',
  );

/** TIFF, most significant byte first, with one entry: the orientation. */
const tiff = (orientation: number) =>
  Uint8Array.of(
    ...[0x4d, 0x4d, 0, 0x2a, 0, 0, 0, 8, 0, 1],
    ...[0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0],
    ...[0, 0, 0, 0],
  );

function exifSegment(orientation: number): Uint8Array {
  const body = tiff(orientation);
  const length = 2 + 6 + body.length;
  return Uint8Array.of(
    0xff,
    0xe1,
    length >> 8,
    length & 255,
    0x45,
    0x78,
    0x69,
    0x66,
    0,
    0,
    ...body,
  );
}

const chunks = ['IHDR', 'PLTE', 'tRNS', 'gAMA', 'sRGB', 'IDAT', 'IEND'];

function pngParts(bytes: Uint8Array, orientation: number): Uint8Array[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const parts = [bytes.subarray(0, 8)];
  for (let at = 8; at + 12 <= bytes.length; ) {
    const end = at + 12 + view.getUint32(at);
    const type = String.fromCharCode(...bytes.subarray(at + 4, at + 8));
    if (chunks.includes(type)) parts.push(bytes.subarray(at, end));
    if (type === 'IHDR' && orientation !== 1) parts.push(chunk('eXIf', tiff(orientation)));
    if (type === 'IEND') break;
    at = end;
  }
  return parts;
}

function chunk(type: string, body: Uint8Array): Uint8Array {
  const whole = new Uint8Array(12 + body.length);
  const view = new DataView(whole.buffer);
  view.setUint32(0, body.length);
  whole.set(
    [...type].map((letter) => letter.charCodeAt(0)),
    4,
  );
  whole.set(body, 8);
  view.setUint32(8 + body.length, checksum(whole.subarray(4, 8 + body.length)));
  return whole;
}

/** CRC-32 as PNG has it, bit by bit: the chunk is short. */
function checksum(bytes: Uint8Array): number {
  let sum = 0xffffffff;
  for (const byte of bytes) {
    sum ^= byte;
    for (let k = 0; k < 8; k++) sum = sum & 1 ? (sum >>> 1) ^ 0xedb88320 : sum >>> 1;
  }
  return (sum ^ 0xffffffff) >>> 0;
}
