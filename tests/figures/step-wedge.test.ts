import { decode } from 'fast-png';
import { expect, test } from 'vitest';
import { stepWedge } from '../../kernel-lib/figures/step-wedge';
import { curveFromWedge } from '../../kernel-lib/fitting/picture/camera-curve';
import { pictureProfile } from '../../kernel-lib/fitting/picture/picture-profile';
import { wedgeSteps } from '../../kernel-lib/fitting/picture/wedge-steps';
import { seeded } from '../../kernel-lib/numerics/random';
import { greyPicture } from '../fitting/picture/known-pictures';

const wedge = stepWedge();
const shown = decode(wedge.png);

test('each step has its share of white pixels, by counting', () => {
  const { width, height, data } = shown;
  const step = width / 16;
  for (let k = 0; k < 16; k++) {
    let white = 0;
    for (let y = 0; y < height; y++)
      for (let x = k * step; x < (k + 1) * step; x++) white += data[3 * (y * width + x)] / 255;
    expect(white / (step * height)).toBe((k + 1) / 16);
    expect(wedge.light[k]).toBe((k + 1) / 16);
  }
});

/** A camera made here: sees squares of 8 × 8 pixels of the screen as one, leans a little, has noise and the given curve. */
function seen(curve: (light: number) => number): Uint8Array {
  const random = seeded('screen');
  const { width, height, data } = shown;
  const lean = 0.03;
  const lightAt = (x: number, y: number) => {
    let sum = 0;
    for (let j = -4; j < 4; j++)
      for (let i = -4; i < 4; i++) {
        const [column, row] = [Math.round(x) + i, Math.round(y) + j];
        const isOn = column >= 0 && row >= 0 && column < width && row < height;
        sum += isOn ? data[3 * (row * width + column)] / 255 : 0;
      }
    return sum / 64;
  };
  return greyPicture(480, 110, (u, v) => {
    const [x, y] = [2.3 * (u - 15), 2.3 * (v - 20 + lean * u)];
    const light = 0.9 * lightAt(x, y) + 0.004 * random.normal();
    return Math.round(255 * Math.min(Math.max(curve(Math.max(light, 0)), 0), 1));
  });
}
/** Where the middle of step k is seen. */
const at = (k: number) => {
  const u = 15 + (64 * (k + 0.5)) / 2.3;
  return { x: u, y: 20 - 0.03 * u + 80 / 2.3 };
};

// Curves that cameras have, none of them the standard's: common practice, no source.
test.each([
  ['exponent 1.8', (v: number) => v ** (1 / 1.8)],
  ['exponent 2.6', (v: number) => v ** (1 / 2.6)],
  [
    'shadows and lights bent',
    (v: number) => {
      const c = v ** (1 / 2.2);
      return c - (0.15 * Math.sin(2 * Math.PI * c)) / (2 * Math.PI);
    },
  ],
])('photographed, it tells the curve of a camera: %s', (_, curve) => {
  const codes = wedgeSteps(seen(curve), { first: at(0), last: at(15) });
  const measured = curveFromWedge(codes, wedge.light);
  const signal = (light: number) => {
    const card = greyPicture(12, 3, () => Math.round(255 * curve(light)));
    return pictureProfile(card, { pixel: 1, tilt: 0, curve: measured }).y[5];
  };
  // Between steps the curve is straight: ratios of light to 3 %, from a tenth of full scale on.
  for (const [a, b] of [
    [0.1, 0.2],
    [0.2, 0.8],
    [0.35, 0.5],
  ])
    expect(Math.abs(signal(b) / signal(a) / (b / a) - 1)).toBeLessThan(0.03);
});

test('a wedge outside the picture, or seen too small, is told', () => {
  const card = greyPicture(60, 20, () => 9);
  const place = { first: { x: 5, y: 9 }, last: { x: 70, y: 9 } };
  expect(() => wedgeSteps(card, place)).toThrow(/last step is \(70, 9\), outside .* 60 × 20/);
  const small = { first: { x: 5, y: 9 }, last: { x: 55, y: 9 } };
  expect(() => wedgeSteps(card, small)).toThrow(/steps are 3.3 pixels wide.*from nearer/);
});

test('as SVG every step says what it is', () => {
  for (const k of [1, 7, 16]) expect(wedge.svg).toContain(`>${k}/16<`);
  expect(wedge.svg).toContain(wedge.alt);
});
