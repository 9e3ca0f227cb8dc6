import { exifOrientation } from './exif-orientation';

/** One colour component of a JPEG: how often it is sampled in a block of pixels, and its tables. */
export interface JpegComponent {
  readonly id: number;
  readonly across: number;
  readonly down: number;
  readonly quantisation: number;
}

/** Everything before the coded pixels. */
export interface JpegHeader {
  readonly width: number;
  readonly height: number;
  readonly bits: number;
  /** 0 and 1 are sequential and read row by row; 2 is progressive; others are rare. */
  readonly frame: number;
  readonly components: readonly JpegComponent[];
  readonly quantisation: readonly Float32Array[];
  /** By class (0 DC, 1 AC) and number: code → length and symbol, looked up by the next 16 bits. */
  readonly huffman: readonly (readonly Uint16Array[])[];
  /** Which Huffman tables each component of the scan uses: component, DC, AC. */
  readonly scan: readonly {
    readonly component: number;
    readonly dc: number;
    readonly ac: number;
  }[];
  readonly restart: number;
  readonly orientation: number;
  /** False when an Adobe segment says that the components are red, green and blue as they are. */
  readonly transformed: boolean;
  /** Where the coded pixels begin. */
  readonly start: number;
}

type Frame = Pick<JpegHeader, 'width' | 'height' | 'bits' | 'frame' | 'components'>;

/** Order in which a block's 64 coefficients are stored. */
export const zigzag = [
  0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5, 12, 19, 26, 33, 40, 48, 41, 34, 27, 20,
  13, 6, 7, 14, 21, 28, 35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51, 58, 59, 52,
  45, 38, 31, 39, 46, 53, 60, 61, 54, 47, 55, 62, 63,
];

/**
 * Read the segments of a JPEG up to its first scan.
 *
 * @throws RangeError when the file is damaged
 * @see ITU-T T.81, annex B (from memory)
 */
export function readJpegSegments(bytes: Uint8Array): JpegHeader {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const quantisation: Float32Array[] = [];
  const huffman: Uint16Array[][] = [[], []];
  let frame: Frame | undefined;
  let restart = 0;
  let orientation = 1;
  let transformed = true;
  for (let at = 2; at + 4 <= bytes.length; ) {
    if (bytes[at] !== 0xff) throw damagedJpeg('a segment does not begin where it should');
    const marker = bytes[at + 1];
    if (marker === 0xff) {
      at++;
      continue;
    }
    const length = view.getUint16(at + 2);
    const end = at + 2 + length;
    const body = bytes.subarray(at + 4, end);
    if (end > bytes.length) break;
    if (marker === 0xdb) readQuantisation(body, quantisation);
    else if (marker === 0xc4) readHuffman(body, huffman);
    else if (marker === 0xdd) restart = (body[0] << 8) | body[1];
    else if (marker === 0xe1 && ascii(body, 0, 4) === 'Exif')
      orientation = exifOrientation(body.subarray(6));
    else if (marker === 0xee && ascii(body, 0, 5) === 'Adobe') transformed = body[11] !== 0;
    else if (marker >= 0xc0 && marker <= 0xcf && marker !== 0xc8 && marker !== 0xcc) {
      frame = { frame: marker - 0xc0, ...readFrame(body) };
    } else if (marker === 0xda) {
      if (!frame) throw damagedJpeg('its size is missing');
      const { components } = frame;
      const scan = Array.from({ length: body[0] }, (_, k) => ({
        component: components.findIndex(({ id }) => id === body[1 + 2 * k]),
        dc: body[2 + 2 * k] >> 4,
        ac: body[2 + 2 * k] & 15,
      }));
      if (scan.some(({ component }) => component < 0)) throw damagedJpeg('a component is missing');
      return {
        ...frame,
        quantisation,
        huffman,
        scan,
        restart,
        orientation,
        transformed,
        start: end,
      };
    }
    at = end;
  }
  throw damagedJpeg('it ends before its pixels');
}

export const damagedJpeg = (why: string) =>
  new RangeError(`This JPEG is damaged: ${why}. Copy it from the camera again.`);

const ascii = (body: Uint8Array, from: number, count: number) =>
  String.fromCharCode(...body.subarray(from, from + count));

function readFrame(body: Uint8Array): Omit<Frame, 'frame'> {
  const components = Array.from({ length: body[5] }, (_, k) => ({
    id: body[6 + 3 * k],
    across: body[7 + 3 * k] >> 4,
    down: body[7 + 3 * k] & 15,
    quantisation: body[8 + 3 * k],
  }));
  if (!components.every(({ across, down }) => across >= 1 && across <= 4 && down >= 1 && down <= 4))
    throw damagedJpeg('a component is not sampled 1 to 4 times');
  return {
    bits: body[0],
    height: (body[1] << 8) | body[2],
    width: (body[3] << 8) | body[4],
    components,
  };
}

function readQuantisation(body: Uint8Array, tables: Float32Array[]): void {
  for (let at = 0; at < body.length; ) {
    const wide = body[at] >> 4 !== 0;
    const next = at + (wide ? 129 : 65);
    if (next > body.length) throw damagedJpeg('a table is cut short');
    const table = new Float32Array(64);
    for (let k = 0; k < 64; k++) {
      const value = wide ? (body[at + 1 + 2 * k] << 8) | body[at + 2 + 2 * k] : body[at + 1 + k];
      table[zigzag[k]] = value;
    }
    tables[body[at] & 15] = table;
    at = next;
  }
}

/** Canonical codes, spread over all 16-bit words that begin with them: length in the high byte, symbol in the low. */
function readHuffman(body: Uint8Array, tables: Uint16Array[][]): void {
  for (let at = 0; at + 17 <= body.length; ) {
    const table = new Uint16Array(65536);
    let symbol = at + 17;
    let code = 0;
    for (let length = 1; length <= 16; length++) {
      for (let k = 0; k < body[at + length]; k++) {
        const first = code << (16 - length);
        table.fill((length << 8) | body[symbol++], first, first + (1 << (16 - length)));
        code++;
      }
      code <<= 1;
    }
    if (symbol > body.length) throw damagedJpeg('a table is cut short');
    (tables[body[at] >> 4] ?? [])[body[at] & 15] = table;
    at = symbol;
  }
}
