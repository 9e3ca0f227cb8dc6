import fresnel from '@stdlib/math-base-special-fresnel';
import { expect, test } from 'vitest';
import { fresnelIntegrals } from '../../kernel-lib/numerics/fresnel-integrals';

// Values of the trade, recomputed: seven digits.
test.each([
  [1, 0.7798934, 0.4382591],
  [2, 0.4882534, 0.3434157],
  [5, 0.5636312, 0.4991914],
])('C(%d) and S(%d) to seven digits', (v, c, s) => {
  expect(fresnelIntegrals(v).c).toBeCloseTo(c, 7);
  expect(fresnelIntegrals(v).s).toBeCloseTo(s, 7);
});

// @stdlib/math-base-special-fresnel 0.3.1, a port of Cephes; it returns [S, C].
test('agree with stdlib to 1e-14 from −50 to 50', () => {
  let worst = 0;
  for (let v = -50; v <= 50; v += 0.0137) {
    const [s, c] = fresnel(v);
    const ours = fresnelIntegrals(v);
    worst = Math.max(worst, Math.abs(ours.s - s), Math.abs(ours.c - c));
  }
  expect(worst).toBeLessThan(1e-14);
});

test('tend to 1/2, are odd, and pass NaN on', () => {
  expect(fresnelIntegrals(Infinity)).toEqual({ c: 0.5, s: 0.5 });
  expect(fresnelIntegrals(-Infinity)).toEqual({ c: -0.5, s: -0.5 });
  expect(fresnelIntegrals(-1.2).c).toBe(-fresnelIntegrals(1.2).c);
  expect(fresnelIntegrals(Number.NaN).c).toBeNaN();
});
