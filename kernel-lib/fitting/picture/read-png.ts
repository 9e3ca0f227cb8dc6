import { decode } from 'fast-png';
import { type FlateError, Unzlib } from 'fflate';
import { checkSize, exifOrientation, type PictureRows } from './picture-rows';

/** Numbers per pixel of each colour type that exists. */
const channelsOf: Readonly<Record<number, number>> = { 0: 1, 2: 3, 3: 1, 4: 2, 6: 4 };

/** Bits per number that each colour type allows. */
const depthsOf: Readonly<Record<number, readonly number[]>> = {
  0: [1, 2, 4, 8, 16],
  2: [8, 16],
  3: [1, 2, 4, 8],
  4: [8, 16],
  6: [8, 16],
};

/** Above this an interlaced picture, which cannot be read row by row, is refused. */
const mostInterlaced = 24e6;

/**
 * Read a PNG row by row, so that memory does not grow with its height. All depths (1, 2, 4, 8, 16), grey, colour,
 * palette; transparency is left aside.
 *
 * @throws RangeError when the file is damaged, cut short, or too large
 * @see W3C Portable Network Graphics (PNG) Specification, sections 7, 9 and 11 (from memory)
 */
export function readPng(bytes: Uint8Array): PictureRows {
  const header = readChunks(bytes);
  const { width, height, depth, colour } = header;
  checkSize(width, height);
  if (!depthsOf[colour]?.includes(depth))
    throw damaged(`colour type ${colour} with ${depth} bits does not exist`);
  if (header.interlaced && (width * height > mostInterlaced || depth < 8)) {
    throw new RangeError(
      `This PNG is interlaced (${width} × ${height} pixels of ${depth} bits) and cannot be read row by row. Save it without interlacing.`,
    );
  }
  return {
    kind: 'PNG',
    width,
    height,
    channels: colour === 0 || colour === 4 ? 1 : 3,
    full: depth === 16 ? 65535 : 255,
    orientation: header.exif ? exifOrientation(header.exif) : 1,
    each: (take) => (header.interlaced ? interlacedRows(bytes, header, take) : rows(header, take)),
  };
}

/** Everything that a PNG says before its pixels, and where these are. */
interface Header {
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
function readChunks(bytes: Uint8Array): Header {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const data: Uint8Array[] = [];
  let header: Omit<Header, 'data' | 'palette' | 'exif'> | undefined;
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
  if (!header || data.length === 0) throw damaged('it has no picture in it');
  if (header.colour === 3 && !palette) throw damaged('its palette is missing');
  return { ...header, palette, exif, data };
}

const damaged = (why: string) =>
  new RangeError(`This PNG is damaged: ${why}. Save or copy the file again.`);

function rows(header: Header, take: (row: ArrayLike<number>, y: number) => void): void {
  const { width, height, depth, colour } = header;
  const bits = depth * channelsOf[colour];
  const stride = Math.ceil((width * bits) / 8);
  const back = Math.max(1, bits >> 3);
  let line = new Uint8Array(stride + 1);
  let above = new Uint8Array(stride + 1);
  const unpack = unpacker(header);
  let filled = 0;
  let y = 0;
  const inflate = new Unzlib((chunk: Uint8Array) => {
    for (let at = 0; at < chunk.length && y < height; ) {
      const part = Math.min(chunk.length - at, stride + 1 - filled);
      line.set(chunk.subarray(at, at + part), filled);
      filled += part;
      at += part;
      if (filled <= stride) continue;
      unfilter(line, above, back);
      take(unpack(line), y++);
      [line, above] = [above, line];
      filled = 0;
    }
  });
  try {
    for (const [k, body] of header.data.entries()) {
      for (let at = 0; at < body.length; at += 65536) {
        const last = k === header.data.length - 1 && at + 65536 >= body.length;
        inflate.push(body.subarray(at, at + 65536), last);
      }
    }
  } catch (error) {
    // What is not about the unpacking was said by a row or by who takes it.
    if ((error as FlateError).code === undefined) throw error;
    if (y < height)
      throw damaged(
        `its data cannot be unpacked after row ${y} of ${height} (${(error as Error).message})`,
      );
  }
  if (y < height) throw damaged(`it ends after row ${y} of ${height}`);
}

/** Undo the filter of one line in place; byte 0 names the filter. */
function unfilter(line: Uint8Array, above: Uint8Array, back: number): void {
  const kind = line[0];
  if (kind > 4) throw damaged(`a row has filter ${kind}`);
  const { length } = line;
  if (kind === 1) for (let i = back + 1; i < length; i++) line[i] += line[i - back];
  else if (kind === 2) for (let i = 1; i < length; i++) line[i] += above[i];
  else if (kind === 3)
    for (let i = 1; i < length; i++) {
      const left = i > back ? line[i - back] : 0;
      line[i] += (left + above[i]) >> 1;
    }
  else if (kind === 4)
    for (let i = 1; i < length; i++) {
      const inside = i > back;
      line[i] += paeth(inside ? line[i - back] : 0, above[i], inside ? above[i - back] : 0);
    }
}

function paeth(left: number, up: number, corner: number): number {
  const guess = left + up - corner;
  const a = Math.abs(guess - left);
  const b = Math.abs(guess - up);
  const c = Math.abs(guess - corner);
  if (a <= b && a <= c) return left;
  return b <= c ? up : corner;
}

/** From the bytes of a line to its grey or red, green and blue values, without transparency. */
function unpacker({
  width,
  depth,
  colour,
  palette,
}: Header): (line: Uint8Array) => ArrayLike<number> {
  if (depth === 8 && (colour === 0 || colour === 2)) return (line) => line.subarray(1);
  const inFile = channelsOf[colour];
  const out = colour === 0 || colour === 4 ? 1 : 3;
  const row = depth === 16 ? new Uint16Array(width * out) : new Uint8Array(width * out);
  const top = 2 ** depth - 1;
  const sample = (line: Uint8Array, k: number) => {
    if (depth === 8) return line[1 + k];
    if (depth === 16) return (line[1 + 2 * k] << 8) | line[2 + 2 * k];
    const bit = k * depth;
    return (line[1 + (bit >> 3)] >> (8 - depth - (bit & 7))) & top;
  };
  return (line) => {
    for (let x = 0; x < width; x++) {
      if (colour === 3 && palette) {
        const entry = 3 * sample(line, x);
        for (let c = 0; c < 3; c++) row[3 * x + c] = palette[entry + c] ?? 0;
      } else if (out === 1) {
        const value = sample(line, x * inFile);
        row[x] = depth < 8 ? Math.round((value * 255) / top) : value;
      } else for (let c = 0; c < 3; c++) row[3 * x + c] = sample(line, x * inFile + c);
    }
    return row;
  };
}

function interlacedRows(
  bytes: Uint8Array,
  header: Header,
  take: (row: ArrayLike<number>, y: number) => void,
): void {
  const { width, height, depth, colour } = header;
  const picture = decodeWhole(bytes);
  const perPixel = picture.data.length / (width * height);
  const unpack = unpacker({ ...header, depth: depth === 16 ? 16 : 8 });
  const wide = depth === 16;
  const line = new Uint8Array(1 + width * channelsOf[colour] * (wide ? 2 : 1));
  for (let y = 0; y < height; y++) {
    for (let k = 0; k < width * perPixel; k++) {
      const value = picture.data[y * width * perPixel + k];
      if (wide) {
        line[1 + 2 * k] = value >> 8;
        line[2 + 2 * k] = value & 255;
      } else line[1 + k] = value;
    }
    take(unpack(line), y);
  }
}

function decodeWhole(bytes: Uint8Array) {
  try {
    return decode(bytes);
  } catch (error) {
    throw damaged((error as Error).message);
  }
}
