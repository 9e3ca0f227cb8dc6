import { readFileSync } from 'node:fs';
import { decode } from 'fast-png';
import { expect, test } from 'vitest';
import { asBundle } from '../../kernel-lib/display/bundle';
import { pictureFigure } from '../../kernel-lib/figures/picture-figure';
import { encodePng } from '../../kernel-lib/figures/png/encode-png';
import { readPicture } from '../../kernel-lib/fitting/picture/read-picture';

const png = (width: number, height: number) =>
  encodePng({ width, height, channels: 3, data: new Uint8Array(width * height * 3).fill(90) });
const alt = 'Two bright lines, "red" & dark.';

test('a small PNG is enlarged, unchanged inside, with its text alternative', () => {
  const file = png(320, 16);
  const bundle = pictureFigure(file, alt)[asBundle]();
  expect(bundle['text/plain']).toBe(alt);
  const svg = String(bundle['image/svg+xml']);
  const [, words, shown] = /^<img alt="([^"]*)" src="[^,]*base64,([^"]*)"/.exec(
    String(bundle['text/html']),
  )!;
  expect(words).toBe('Two bright lines, &quot;red&quot; &amp; dark.');
  expect(Buffer.from(shown, 'base64').toString()).toBe(svg);
  expect(svg).toContain('viewBox="0 0 960 48"');
  expect(svg).toContain('aria-label="Two bright lines, &quot;red&quot; &amp; dark."');
  const inside = /base64,([^"]+)"/.exec(svg)?.[1] ?? '';
  expect(decode(Buffer.from(inside, 'base64')).width).toBe(320);
});

test('a large PNG and a JPEG are shown as they are', () => {
  const file = png(1000, 2);
  expect(pictureFigure(file, alt)[asBundle]()['image/png']).toBe(
    Buffer.from(file).toString('base64'),
  );
  // Pillow wrote it with an EXIF block; of that the orientation stays, the pixels do not change.
  const place = new URL('../fitting/picture/pictures/orientation-6.jpg', import.meta.url);
  const jpeg = new Uint8Array(readFileSync(place));
  const shown = String(pictureFigure(jpeg, alt)[asBundle]()['image/jpeg']);
  const bare = new Uint8Array(Buffer.from(shown, 'base64'));
  expect(readPicture(bare).orientation).toBe(6);
  expect(Buffer.from(bare).includes(Buffer.from(jpeg.subarray(-400)))).toBe(true);
});

test('what is no picture, or has no description, is refused with a sentence', () => {
  expect(() => pictureFigure(new TextEncoder().encode('x,y\n1,2'), alt)).toThrow(/PNG nor a JPEG/);
  expect(() => pictureFigure(png(2, 2), ' ')).toThrow(/text alternative/);
});
