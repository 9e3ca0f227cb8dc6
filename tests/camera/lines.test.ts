import { describe, expect, test } from 'vitest';
import { prepare } from '../../kernel-lib/camera/prepared-light';
import { CHANNELS, cubic, linesOf } from '../../kernel-lib/camera/spline';
import { illuminant } from '../../kernel-lib/light/illuminant';
import { sunlight } from '../../kernel-lib/light/sunlight';

describe.each([
  ['daylight', illuminant('D65')],
  ['sunlight', sunlight()],
])('lines through the coherence of %s', (_name, light) => {
  // A copy, so that the table is this test's own and no longer one that another made.
  const spline = prepare({ ...light }).colour.cubic(20e-6);
  const lines = linesOf(spline);

  test('differ from the spline by no more than they say, and by nearly as much somewhere', () => {
    const worst = new Float64Array(lines.error.length);
    for (let node = 0; node < lines.error.length - 1; node++) {
      for (const t of [0, 0.2, 0.5, 0.8, 1]) {
        const interval = Math.min(node >> 1, spline.coefficients.length / (4 * CHANNELS) - 1);
        for (let c = 0; c < CHANNELS; c++) {
          const from = lines.value[CHANNELS * node + c];
          const to = lines.value[CHANNELS * (node + 1) + c];
          const there = cubic(
            spline.coefficients,
            4 * (CHANNELS * interval + c),
            (node + t) / 2 - interval,
          );
          worst[node] = Math.max(worst[node], Math.abs(from + t * (to - from) - there));
        }
      }
      // A line's error is an eighth of the largest curvature within it, here taken from its neighbours.
      expect(worst[node]).toBeLessThan(1.01 * lines.error[node] + 1e-27);
    }
    expect(Math.max(...worst)).toBeGreaterThan(0.9 * lines.error[0]);
  });

  test('reach as far as the spline does', () => {
    const length = (spline.coefficients.length / (4 * CHANNELS)) * spline.step;
    expect((lines.value.length / CHANNELS - 1) * lines.step).toBeCloseTo(length, 15);
    expect(lines.value.every(Number.isFinite)).toBe(true);
  });
});
