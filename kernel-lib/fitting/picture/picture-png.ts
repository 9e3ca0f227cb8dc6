import { decode } from 'fast-png';
import { type FlateError, Unzlib } from 'fflate';
import { exifOrientation } from './exif-orientation';
import { checkSize, type PictureRows } from './picture-kind';
import {
  channelsOf,
  damagedPng as damaged,
  depthsOf,
  type PngHeader as Header,
  readPngChunks,
} from './png-chunks';

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
  const header = readPngChunks(bytes);
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
