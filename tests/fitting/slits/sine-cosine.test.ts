import { expect, test } from 'vitest';
import { SineCosine } from '../../../kernel-lib/fitting/slits/slit-model';

function at(angle: number): [sine: number, cosine: number] {
  const turn = new SineCosine();
  turn.set(angle);
  return [turn.sine, turn.cosine];
}

/** Largest distance from Math.sin and Math.cos, which are right to half a last place of 1. */
const miss = (angle: number) =>
  Math.max(Math.abs(at(angle)[0] - Math.sin(angle)), Math.abs(at(angle)[1] - Math.cos(angle)));

test('before any angle is set it stands at 0', () => {
  expect(new SineCosine()).toMatchObject({ sine: 0, cosine: 1 });
  expect(at(0)).toEqual([0, 1]);
});

test.each([
  ['30°', Math.PI / 6, 1 / 2, Math.sqrt(3) / 2],
  ['45°', Math.PI / 4, Math.SQRT1_2, Math.SQRT1_2],
  ['60°', Math.PI / 3, Math.sqrt(3) / 2, 1 / 2],
  ['90°', Math.PI / 2, 1, 0],
  ['120°', (2 * Math.PI) / 3, Math.sqrt(3) / 2, -1 / 2],
  ['180°', Math.PI, 0, -1],
  ['225°', (5 * Math.PI) / 4, -Math.SQRT1_2, -Math.SQRT1_2],
  ['270°', (3 * Math.PI) / 2, -1, 0],
  ['300°', (5 * Math.PI) / 3, -Math.sqrt(3) / 2, 1 / 2],
  ['360°', 2 * Math.PI, 0, 1],
])('%s: the known sine and cosine, odd and even in the angle', (_name, angle, sine, cosine) => {
  expect(at(angle)[0]).toBeCloseTo(sine, 14);
  expect(at(angle)[1]).toBeCloseTo(cosine, 14);
  expect(at(-angle)[0]).toBeCloseTo(-sine, 14);
  expect(at(-angle)[1]).toBeCloseTo(cosine, 14);
});

test('right to 2.3e-16 in every quarter turn, near a turn and far from it', () => {
  let worst = 0;
  // Steps of the golden section of a quarter turn leave no part of it out.
  for (let k = -600; k <= 600; k++) worst = Math.max(worst, miss(k * 0.9708));
  for (let k = 1; k <= 600; k++) worst = Math.max(worst, miss(k * 1665.43), miss(-k * 1665.43));
  expect(worst).toBeLessThan(2.3e-16);
});

test('small angles keep all their digits: sin a = a − a³/6', () => {
  for (const angle of [1e-4, 1e-5, 1e-8, 1e-150])
    expect(Math.abs(at(angle)[0] / (angle - angle ** 3 / 6) - 1)).toBeLessThan(3e-16);
});

test('beyond a million radians it is Math.sin and Math.cos', () => {
  for (const angle of [1.1e6, -3.7e7, 1e9 + 0.3, -2e15, 1e22]) {
    expect(at(angle)).toEqual([Math.sin(angle), Math.cos(angle)]);
  }
});

test('no angle gives no sine and no cosine', () => {
  for (const angle of [Number.NaN, Infinity, -Infinity]) expect(at(angle)).toEqual([NaN, NaN]);
});
