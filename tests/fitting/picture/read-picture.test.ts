import { readFileSync } from 'node:fs';
import { zlibSync } from 'fflate';
import { decode } from 'jpeg-js';
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

describe('JPEG files written by Pillow agree with jpeg-js', () => {
  test.each([
    ['full-colour.jpg', 3, 3],
    ['half-colour.jpg', 3, 3],
    ['progressive.jpg', 3, 0],
    ['grey.jpg', 1, 2],
  ])('%s', (name, channels, largest) => {
    const picture = pixels(file(name));
    let worst = 0;
    const other = decode(file(name), { useTArray: true });
    expect([picture.width, picture.height, picture.channels]).toEqual([93, 70, channels]);
    for (let y = 0; y < 70; y++) {
      for (let x = 0; x < 93; x++) {
        for (let c = 0; c < channels; c++) {
          const off = picture.values[y][x * channels + c] - other.data[4 * (y * 93 + x) + c];
          worst = Math.max(worst, Math.abs(off));
        }
      }
    }
    expect(worst).toBeLessThanOrEqual(largest);
  });
});

test('a JPEG with a hundred restart markers agrees with jpeg-js', () => {
  const bytes = restartedJpeg(160, 160, 4);
  const picture = pixels(bytes);
  const other = decode(bytes, { useTArray: true });
  const levels = new Set<number>();
  let worst = 0;
  for (let y = 0; y < 160; y++) {
    for (let x = 0; x < 160; x++) {
      levels.add(picture.values[y][3 * x]);
      worst = Math.max(worst, Math.abs(picture.values[y][3 * x] - other.data[4 * (160 * y + x)]));
    }
  }
  // The two round half steps differently.
  expect(worst).toBeLessThanOrEqual(1);
  expect(levels.size).toBeGreaterThan(3);
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

describe('files that are not what they are called', () => {
  const text = (content: string) => new TextEncoder().encode(content);
  test.each([
    ['empty', new Uint8Array(0), /empty/],
    ['text', text('x / mm;signal\n1;2\n'), /text, whatever its name says/],
    ['GIF', text('GIF89a.............'), /GIF/],
    ['TIFF', Uint8Array.of(0x49, 0x49, 0x2a, 0, 8, 0, 0, 0), /TIFF or a raw camera file/],
    ['WebP', text('RIFF0000WEBPVP8 '), /WebP/],
    ['HEIC', text('0000ftypheic0000'), /HEIC/],
    ['PDF', text('%PDF-1.7 '), /PDF/],
    ['something else', Uint8Array.of(0, 1, 2, 3), /not known/],
  ])('%s', (_, bytes, sentence) => {
    expect(() => readPicture(bytes)).toThrow(RangeError);
    expect(() => readPicture(bytes)).toThrow(sentence);
  });

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

  test('absurd sizes are refused before memory is asked for', () => {
    const png = file('grey.png').slice();
    new DataView(png.buffer).setUint32(16, 2_000_000_000);
    expect(() => readPicture(png)).toThrow(/million pixels/);
    new DataView(png.buffer).setUint32(16, 0);
    expect(() => readPicture(png)).toThrow(/damaged/);
  });
});

describe('60 million pixels', () => {
  const [width, height] = [9600, 6250];
  const band = { from: 3000, to: 3040 };
  const check = (bytes: Uint8Array, y: number) => {
    const before = process.memoryUsage().rss;
    const profile = pictureProfile(bytes, { pixel: 1e-6, band, tilt: 0, curve: 'linear' });
    expect(profile.x).toHaveLength(width);
    expect(profile.y[4000]).toBeCloseTo(y, 2);
    // The picture alone would be 180 million bytes, and decoded as a whole several times that.
    expect(process.memoryUsage().rss - before).toBeLessThan(180e6);
  };

  test('PNG', () => {
    const line = new Uint8Array(1 + width * 3).fill(100);
    line[0] = 0;
    const data = new Uint8Array(line.length * height);
    for (let y = 0; y < height; y++) data.set(line, y * line.length);
    check(pngOf(width, height, zlibSync(data, { level: 1 })), 100 / 255);
  }, 60_000);

  test('JPEG', () => {
    check(flatJpeg(width, height), 128 / 255);
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

/** Grey steps: every interval of so many blocks begins anew at a level of its own, behind a restart marker. */
function restartedJpeg(width: number, height: number, interval: number): Uint8Array {
  const head = headOf(width, height);
  const parts: Uint8Array[] = [head.subarray(0, 2), Uint8Array.of(0xff, 0xdd, 0, 4, 0, interval)];
  parts.push(head.subarray(2));
  const count = (width * height) / 64 / interval;
  for (let k = 0; k < count; k++) {
    // Luminance: category 3 is 100, then three bits, 1xx positive and 0xx negative; 1010 ends the block.
    const level = (k % 8).toString(2).padStart(3, '0');
    let bits = `100${level}101000000000`;
    for (let block = 1; block < interval; block++) bits += '00101000000000';
    bits = bits.padEnd(Math.ceil(bits.length / 8) * 8, '1');
    for (const byte of bits.match(/.{8}/g)!) {
      const value = Number.parseInt(byte, 2);
      parts.push(value === 255 ? Uint8Array.of(255, 0) : Uint8Array.of(value));
    }
    parts.push(k < count - 1 ? Uint8Array.of(0xff, 0xd0 + (k % 8)) : Uint8Array.of(0xff, 0xd9));
  }
  return new Uint8Array(Buffer.concat(parts));
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
