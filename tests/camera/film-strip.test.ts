import { expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/slits';
import { filmStrip } from '../../kernel-lib/camera/film-strip';
import { prepare } from '../../kernel-lib/camera/prepared-light';
import { sunlight } from '../../kernel-lib/light/sunlight';
import { plainSum } from './plain-strip';

const aperture = slits(2, { width: 40e-6, spacing: 100e-6 });

test('a strip agrees with the plain sum over wavelengths at every position', () => {
  const strip = filmStrip(aperture, sunlight(), { points: 101, span: 0.052 });
  const sum = prepare(sunlight()).sum(0);
  for (let i = 0; i < 101; i++) {
    const plain = plainSum(aperture, sum, strip.s[i]);
    for (let c = 0; c < 3; c++)
      expect(Math.abs(strip.xyz[3 * i + c] - plain[c])).toBeLessThan(1e-6);
    expect(Math.abs(strip.total[i] - plain[3])).toBeLessThan(1e-6);
  }
  expect(strip.xyz[3 * 50 + 1]).toBe(1);
  expect(strip.total[50]).toBe(1);
});
