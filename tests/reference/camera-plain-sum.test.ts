import { describe, expect, test } from 'vitest';
import { type Aperture, slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { prepare } from '../../kernel-lib/camera/prepared-light';
import { whitePattern } from '../../kernel-lib/camera/white-pattern';
import { blackbody } from '../../kernel-lib/light/blackbody';
import { deltaE } from '../../kernel-lib/light/delta-e';
import { filtered, passband } from '../../kernel-lib/light/filtered';
import { illuminant } from '../../kernel-lib/light/illuminant';
import { lamp, laser } from '../../kernel-lib/light/lamp';
import type { Light } from '../../kernel-lib/light/light';
import { sunlight } from '../../kernel-lib/light/sunlight';
import { plainSum } from '../camera/plain-strip';

// The yardstick is the plain sum over wavelengths of the closed form I(s/λ), position by position.
const mercury = { ...sunlight(), name: 'sun and lines', lines: lamp('mercury').lines };
const lights: Light[] = [
  sunlight(),
  illuminant('D65'),
  blackbody(2856),
  filtered(sunlight(), passband(650e-9, 40e-9)),
  filtered(sunlight(), passband(550e-9, 1e-9)),
  lamp('sodium'),
  laser(633e-9),
  laser(400e-9),
  mercury,
];
const apertures: [string, Aperture][] = [
  ...[1, 2, 3, 5, 8, 16, 50].map((count): [string, Aperture] => [
    `${count} slits of 40 µm, 100 µm apart`,
    slits(count, { width: 40e-6, spacing: 100e-6 }),
  ]),
  ['12 slits of 3 µm, 10 µm apart', slits(12, { width: 3e-6, spacing: 10e-6 })],
  ['a slit of 0.5 mm', slits(1, { width: 0.5e-3 })],
  [
    'three unequal slits, one with a phase plate',
    slitsAt([
      { centre: -1e-4, width: 3e-5 },
      { centre: 0, width: 5e-5, transmission: { re: 0.3, im: 0.8 } },
      { centre: 2.2e-4, width: 2e-5, transmission: -0.5 },
    ]),
  ],
];
/** Directions: 0, next to it, and unevenly out to 26 mrad on both sides. */
const sines = Float64Array.from(
  [-26, -17.3, -9.11, -3.7, -1.31, -0.4, -1e-3, 0, 1e-6, 0.02, 0.7, 1.26, 2.5, 5.46, 13.65, 25.9],
  (milli) => milli * 1e-3,
);

describe.each(lights.map((light): [string, Light] => [light.name, light]))('%s', (_, light) => {
  test.each(apertures)('%s: within 1e-6 of the maximum and ΔE₀₀ 0.05', (_name, aperture) => {
    const { colour, power } = prepare(light);
    const list = aperture.slits;
    const extent = list[list.length - 1].centre - list[0].centre + list[0].width;
    const [sum, powers] = [colour.sum(extent * 26e-3), power.sum(extent * 26e-3)];
    const pattern = whitePattern(aperture, colour, sines);
    const total = whitePattern(aperture, power, sines);
    const ahead = plainSum(aperture, sum, 0);
    sines.forEach((s, i) => {
      const plain = plainSum(aperture, sum, s);
      const fast = pattern.subarray(3 * i, 3 * i + 3);
      plain.forEach((value, c) => {
        expect(Math.abs(fast[c] - value)).toBeLessThan(1e-6 * ahead[c]);
      });
      const plainTotal = plainSum(aperture, powers, s)[1];
      expect(Math.abs(total[3 * i + 1] - plainTotal)).toBeLessThan(1e-6);
      // Each relative to the white ahead, since that is what the eye and the film compare with.
      const seen = (from: ArrayLike<number>) => [from[0], from[1], from[2]] as const;
      expect(deltaE(seen(fast), seen(plain), seen(ahead))).toBeLessThan(0.05);
    });
  });
});

describe('steps of the spectrum', () => {
  test.each([2, 8, 16])(
    '%i slits in sunlight: half the step changes less than ΔE₀₀ 0.05',
    (count) => {
      // Sunlight is the hardest: its absorption lines are as narrow as the table's own steps.
      const aperture = slits(count, { width: 40e-6, spacing: 100e-6 });
      const { colour } = prepare(sunlight());
      const [one, half] = [colour.sum(0), colour.sum(150e-6)];
      for (const s of sines) {
        const [a, b] = [plainSum(aperture, one, s), plainSum(aperture, half, s)];
        expect(deltaE([a[0], a[1], a[2]], [b[0], b[1], b[2]])).toBeLessThan(0.05);
      }
    },
  );
});
