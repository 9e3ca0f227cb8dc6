import { readFileSync } from 'node:fs';
import { zlibSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { pictureProfile } from '../../../kernel-lib/fitting/picture/picture-profile';
import { readPicture } from '../../../kernel-lib/fitting/picture/read-picture';

const file = (name: string) =>
  new Uint8Array(readFileSync(new URL(`pictures/${name}`, import.meta.url)));

function pixels(bytes: Uint8Array) {
  const picture = readPicture(bytes);
  const values: number[][] = [];
  picture.each((row, y) => {
    values[y] = Array.from(row);
  });
  return { ...picture, values };
}

const grey = (x: number, y: number) => (5 * x + 3 * y) % 256;

describe('PNG files written by Pillow come back exactly', () => {
  const at: [string, 1 | 3, number, (x: number, y: number) => number[]][] = [
    ['grey.png', 1, 255, (x, y) => [grey(x, y)]],
    ['colour.png', 3, 255, (x, y) => [grey(x, y), 255 - grey(x, y), (7 * x) % 256]],
    ['transparent.png', 3, 255, (x, y) => [grey(x, y), 255 - grey(x, y), (7 * x) % 256]],
    ['grey-16.png', 1, 65535, (x, y) => [grey(x, y) * 257 - (grey(x, y) > 0 ? 3 : 0)]],
    ['palette.png', 3, 255, (x, y) => Array(3).fill(Math.floor(grey(x, y) / 64) * 85)],
    ['two-level.png', 1, 255, (x, y) => [(x + y) % 3 === 0 ? 255 : 0]],
  ];
  test.each(at)('%s', (name, channels, full, expected) => {
    const picture = pixels(file(name));
    expect([picture.kind, picture.width, picture.height]).toEqual(['PNG', 52, 40]);
    expect([picture.channels, picture.full]).toEqual([channels, full]);
    for (let y = 0; y < 40; y++) {
      for (let x = 0; x < 52; x++) {
        expect(picture.values[y].slice(x * channels, (x + 1) * channels)).toEqual(expected(x, y));
      }
    }
  });
});

test.each([1, 2, 3, 4, 5, 6, 7, 8])('EXIF orientation %i is seen upright', (orientation) => {
  // All eight show the same picture upright: the same profile along x, down to the noise of JPEG.
  const options = { pixel: 1, band: { from: 10, to: 20 }, tilt: 0, channel: 'green' } as const;
  const upright = pictureProfile(file('orientation-1.jpg'), options);
  const turned = pictureProfile(file(`orientation-${orientation}.jpg`), options);
  expect([turned.width, turned.height]).toEqual([93, 70]);
  expect(readPicture(file(`orientation-${orientation}.jpg`)).orientation).toBe(orientation);
  for (const [i, y] of turned.y.entries()) expect(Math.abs(y - upright.y[i])).toBeLessThan(0.02);
});

/** A file that begins with these letters, each of them a byte. */
const bytes = (start: string) => Uint8Array.from(start, (letter) => letter.charCodeAt(0));

describe('the kind is told by the first bytes', () => {
  test.each([
    ['a GIF', 'GIF89a'],
    ['a TIFF or a raw camera file', 'II*\0'],
    ['a TIFF or a raw camera file', 'MM\0*'],
    ['a WebP', 'RIFF\x10\0\0\0WEBPVP8 '],
    ['an AVIF', '\0\0\0\x1cftypavif'],
    ['a BMP', 'BM\x36\0\0\0'],
    ['a PDF', '%PDF-1.4'],
    ['a zip (or an office document)', 'PK\x03\x04'],
  ])('%s', (name, start) => {
    const sentence = `This file is ${name}, whatever its name says: a picture must be PNG or JPEG. Save it as one of these.`;
    for (const content of [start, `${start} and a hundred bytes`.padEnd(100, '\0')]) {
      expect(() => readPicture(bytes(content))).toThrow(RangeError);
      expect(() => readPicture(bytes(content))).toThrow(sentence);
    }
  });

  test('a HEIC, with what its owner can do', () => {
    for (const start of ['\0\0\0\x18ftypheic', '\0\0\0\x18ftypmif1'])
      expect(() => readPicture(bytes(start))).toThrow(/This file is a HEIC.*as JPEG\.$/);
  });

  test('a PNG whose line ends were changed on the way, and one cut within its mark, are neither', () => {
    for (const start of ['\x89PNG\n\x1a\n\0', '\x89PNG\r\n\x1a', '\xff\xd8'])
      expect(() => readPicture(bytes(start))).toThrow('This file is of a kind that is not known,');
  });

  test('a name that stands elsewhere says nothing', () => {
    for (const start of ['  GIF89a', 'WEBP', 'ftypheic', ' BM', '\x89PDF'])
      expect(() => readPicture(bytes(start))).toThrow(/This file is (text|of a kind)/);
  });

  test('empty; text, which has printable letters, tabulators and line ends in its first 200 bytes', () => {
    expect(() => readPicture(bytes(''))).toThrow('This file is empty, whatever');
    for (const text of ['x', 'x\ty\r\n1\t2\n', '~ {}', `${'-'.repeat(200)}\0\xff`])
      expect(() => readPicture(bytes(text))).toThrow('This file is text,');
    for (const odd of ['\0', '\x08', '\x7f', '\xe9'])
      for (const other of [odd, `ab${odd}cd`, `${'-'.repeat(199)}${odd}`])
        expect(() => readPicture(bytes(other))).toThrow(
          'This file is of a kind that is not known,',
        );
  });

  test.each([[undefined], [7], [[0x89, 0x50]], [new ArrayBuffer(8)]])('not bytes: %o', (given) => {
    expect(() => readPicture(given as never)).toThrow(TypeError);
    expect(() => readPicture(given as never)).toThrow(
      /from its bytes \(a Uint8Array\), or from a file beside the notebook/,
    );
  });
});

describe('sizes, refused before memory is asked for', () => {
  const open = (width: number, height: number) => {
    const png = file('grey.png').slice();
    new DataView(png.buffer).setUint32(16, width);
    new DataView(png.buffer).setUint32(20, height);
    return readPicture(png);
  };
  test.each([
    [1, 1],
    [12_000, 10_000],
    [65_535, 1],
    [1, 65_535],
  ])('%i × %i is read', (width, height) => {
    expect(open(width, height)).toMatchObject({ width, height });
  });

  test.each([
    [0, 5, 'says it is 0 × 5 pixels: the file is damaged'],
    [5, 0, 'says it is 5 × 0 pixels: the file is damaged'],
    [12_000, 10_001, '120.012 million pixels (12000 × 10001); at most 120 million'],
    [65_536, 1, '0.065536 million pixels (65536 × 1); at most 120 million, and 65535 along'],
    [1, 65_536, '0.065536 million pixels (1 × 65536)'],
    [2_000_000_000, 40, 'million pixels'],
  ])('%i × %i is not', (width, height, sentence) => {
    expect(() => open(width, height)).toThrow(RangeError);
    expect(() => open(width, height)).toThrow(sentence);
  });
});

describe('damage', () => {
  test.each(['colour.png', 'full-colour.jpg', 'progressive.jpg'])('%s cut short', (name) => {
    const whole = file(name);
    for (const part of [0.15, 0.5, 0.7]) {
      const cut = whole.subarray(0, Math.floor(whole.length * part));
      expect(() => readPicture(cut).each(() => {})).toThrow(/damaged/);
    }
  });

  test('a PNG with a byte changed is damaged or still whole, never half', () => {
    const bytes = file('colour.png');
    for (let at = 40; at < bytes.length; at += 7) {
      const changed = bytes.slice();
      changed[at] ^= 0x55;
      let rows = 0;
      try {
        readPicture(changed).each(() => rows++);
        expect(rows).toBe(40);
      } catch (error) {
        expect(error).toBeInstanceOf(RangeError);
        expect((error as Error).message).toMatch(/PNG|picture/);
      }
    }
  });
});

// The pixels are 180 million bytes. A PNG is read row by row; a JPEG is decoded once, and nothing is copied.
describe('60 million pixels', () => {
  const [width, height] = [9600, 6250];
  const band = { from: 3000, to: 3040 };
  const check = (bytes: Uint8Array, y: number, most: number) => {
    const before = process.memoryUsage().rss;
    const profile = pictureProfile(bytes, { pixel: 1e-6, band, tilt: 0, curve: 'linear' });
    expect(profile.x).toHaveLength(width);
    expect(profile.y[4000]).toBeCloseTo(y, 2);
    expect(process.memoryUsage().rss - before).toBeLessThan(most);
  };

  test('PNG', () => {
    const line = new Uint8Array(1 + width * 3).fill(100);
    line[0] = 0;
    const data = new Uint8Array(line.length * height);
    for (let y = 0; y < height; y++) data.set(line, y * line.length);
    check(pngOf(width, height, zlibSync(data, { level: 1 })), 100 / 255, 180e6);
  }, 60_000);

  test('JPEG', () => {
    check(flatJpeg(width, height), 128 / 255, 260e6);
  }, 60_000);
});

/** Three chunks are enough for a picture; the reader does not check sums. */
function pngOf(width: number, height: number, data: Uint8Array): Uint8Array {
  const chunk = (type: string, body: Uint8Array) => {
    const out = new Uint8Array(12 + body.length);
    new DataView(out.buffer).setUint32(0, body.length);
    out.set(new TextEncoder().encode(type), 4);
    out.set(body, 8);
    return out;
  };
  const header = new Uint8Array(13);
  new DataView(header.buffer).setUint32(0, width);
  new DataView(header.buffer).setUint32(4, height);
  header.set([8, 2, 0, 0, 0], 8);
  const parts = [
    Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10),
    chunk('IHDR', header),
    chunk('IDAT', data),
    chunk('IEND', new Uint8Array(0)),
  ];
  return new Uint8Array(Buffer.concat(parts));
}

/** The head of a small colour JPEG with another size. */
function headOf(width: number, height: number): Uint8Array {
  const small = file('full-colour.jpg');
  const find = (marker: number) => small.findIndex((b, i) => b === 0xff && small[i + 1] === marker);
  const scan = find(0xda);
  const head = small.slice(0, scan + 2 + ((small[scan + 2] << 8) | small[scan + 3]));
  const frame = find(0xc0);
  new DataView(head.buffer).setUint16(frame + 5, height);
  new DataView(head.buffer).setUint16(frame + 7, width);
  return head;
}

/** A colour JPEG of one flat grey: the head of a small one, its size changed, and empty blocks. */
function flatJpeg(width: number, height: number): Uint8Array {
  const head = headOf(width, height);
  // Standard tables (T.81, annex K): luminance 00 and 1010, either chrominance 00 and 00: "no change, end of block".
  const blocks = Math.ceil(width / 8) * Math.ceil(height / 8);
  const unit = '00101000000000';
  const period = Uint8Array.from(unit.repeat(8).match(/.{8}/g)!, (bits) =>
    Number.parseInt(bits, 2),
  );
  const body = new Uint8Array(Math.ceil((blocks * unit.length) / 8));
  for (let i = 0; i < body.length; i++) body[i] = period[i % period.length];
  return new Uint8Array(Buffer.concat([head, body, Uint8Array.of(0xff, 0xd9)]));
}
