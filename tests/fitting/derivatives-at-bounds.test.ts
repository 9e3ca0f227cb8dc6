import { describe, expect, test } from 'vitest';
import type { Bound } from '../../kernel-lib/fitting/derivatives';
import { asked, error, type Model } from './asked-derivatives';

describe('near a bound', () => {
  // Slopes of a parameter at 2 that moves by its own size; a coarse step is 1.2e-5, a fine one 2.4e-3.
  const wave: Model = (t, [p]) => Math.sin((p * t) / 6);
  const slope = (t: number) => (t / 6) * Math.cos(t / 3);

  test.each<[string, Bound, boolean]>([
    ['on the lower one', [2, Infinity], false],
    ['on the upper one', [-Infinity, 2], false],
    ['on the lower of two', [2, 3], false],
    ['on the upper of two', [-3, 2], false],
    ['just above the lower one', [2 - 1e-5, Infinity], false],
    ['just below the upper one', [-Infinity, 2 + 1e-5], false],
    ['on the lower one, precisely', [2, Infinity], true],
    ['on the upper one, precisely', [-Infinity, 2], true],
    ['a step and a half above the lower one, precisely', [2 - 3.6e-3, Infinity], true],
    ['a step and a half below the upper one, precisely', [-Infinity, 2 + 3.6e-3], true],
  ])('%s: calls on the inner side only, and still the slope', (_name, bound, fine) => {
    const { columns, calls } = asked(wave, [2], { fine, bounds: [bound] });
    const inner = 2 - bound[0] < bound[1] - 2 ? 1 : -1;
    for (const [p] of calls) expect(Math.sign(p - 2)).toBe(inner);
    expect(calls).toHaveLength(fine ? 4 : 2);
    expect(error(columns[0], slope)).toBeLessThan(fine ? 1e-11 : 1e-8);
  });

  test('a bound more than two steps away changes nothing', () => {
    for (const fine of [false, true]) {
      const reach = fine ? 4.9e-3 : 1.3e-5;
      const free = asked(wave, [2], { fine });
      for (const bound of [[2 - reach, Infinity] as const, [-Infinity, 2 + reach] as const])
        expect(asked(wave, [2], { fine, bounds: [bound] })).toEqual(free);
    }
  });

  test.each<[number, Bound]>([
    [2, [2, 2 + 1e-6]],
    [2, [2 - 1e-6, 2]],
    [2, [2 - 2e-7, 2 + 8e-7]],
    [2, [2 - 8e-7, 2 + 2e-7]],
  ])('bounds closer together than a step: %d in %j is not left', (p, bound) => {
    for (const fine of [false, true]) {
      const { columns, calls } = asked(wave, [p], { fine, bounds: [bound] });
      for (const [value] of calls) {
        expect(value).toBeGreaterThanOrEqual(bound[0]);
        expect(value).toBeLessThanOrEqual(bound[1]);
      }
      expect(error(columns[0], slope)).toBeLessThan(1e-7);
    }
  });

  test('a straight model costs no more on a bound, and a steep one is still resolved', () => {
    const line = asked((t, [p]) => 1 + p * t, [2], { bounds: [[2, 9]] });
    expect(line.calls).toHaveLength(2);
    // It falls off within 1e-4, where the start promised 1.
    const steep = asked((t, [p]) => Math.exp(-p * 1e4 * t), [0], {
      start: [1],
      bounds: [[0, Infinity]],
    });
    expect(error(steep.columns[0], (t) => -1e4 * t)).toBeLessThan(1e-6);
  });
});
