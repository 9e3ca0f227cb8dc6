import { execFileSync } from 'node:child_process';
import { describe, expect, test } from 'vitest';
import {
  filtered,
  illuminant,
  laser,
  nearField,
  passband,
  screenStrip,
  slits,
  xyz,
} from '../../kernel-lib/index';
import { needs } from '../needs';

const bright = (strip: { xyz: Float64Array }) => strip.xyz.filter((_, i) => i % 3 === 1);
const highest = (values: ArrayLike<number>) => Array.from(values).reduce((a, b) => Math.max(a, b));

describe('a screen without a lens', () => {
  const { path, skip } = needs('scipy');

  test.skipIf(skip).each([
    [1, 0.02, 0],
    [2, 0.3, 0],
    [5, 4, 0],
    [3, 0.5, 1.5],
  ])(
    '%i slits at %f m (source at %f m) shows what NumPy sums over the openings',
    (count, z, z0) => {
      const [width, spacing, wavelength] = [60e-6, 150e-6, 550e-9];
      const sourceDistance = z0 || Number.POSITIVE_INFINITY;
      const span = 2e-3 * Math.max(1, z / 0.2);
      const strip = screenStrip(slits(count, { width, spacing }), laser(wavelength), {
        ...{ distance: z, sourceDistance, span, points: 41 },
      });
      // Huygens's sum of spherical waves from 4000 threads of each slit, paraxial; relative to that without slits.
      const script = `
import json, numpy as np
n, z, z0, w, d, lam, span = json.loads('''${JSON.stringify([count, z, z0, width, spacing, wavelength, span])}''')
x = np.linspace(-span/2, span/2, 41)
t = (np.arange(4000) + .5)/4000*w - w/2
out = np.zeros(41, complex)
for k in range(int(n)):
    u = (k - (n-1)/2)*d + t
    phase = np.pi/lam*((x[:, None]-u)**2/z + (u**2/z0 if z0 else 0))
    out += np.exp(1j*phase).sum(1)*w/4000
over = 1 + (z/z0 if z0 else 0)
print(json.dumps(list((np.abs(out)**2/(lam*z)*over).tolist())))
`;
      const theirs: number[] = JSON.parse(execFileSync(path, ['-c', script], { encoding: 'utf8' }));
      const ours = bright(strip);
      const top = highest(theirs);
      for (const [i, value] of theirs.entries())
        expect(Math.abs(ours[i] - value) / top).toBeLessThan(2e-3);
    },
  );

  test('of white light is the plain sum over its wavelengths', () => {
    const light = illuminant('A');
    const aperture = slits(2, { width: 80e-6, spacing: 200e-6 });
    const strip = screenStrip(aperture, light, { distance: 0.08, span: 1.2e-3, points: 61 });
    const x = [...strip.positions];
    const sum = new Float64Array(61);
    for (let nm = 400; nm <= 700; nm += 2) {
      const band = filtered(light, passband(nm * 1e-9, 2e-9));
      const Y = xyz(band, { relativeTo: light })[1];
      nearField(aperture, nm * 1e-9, 0.08, x).forEach((value, i) => {
        sum[i] += Y * value;
      });
    }
    const top = highest(sum);
    for (const [i, value] of bright(strip).entries())
      expect(Math.abs(value - sum[i]) / top).toBeLessThan(0.01);
  });

  test('far off it is the far-field formula, near by the shadow', () => {
    const aperture = slits(3, { width: 40e-6, spacing: 100e-6 });
    const apart = (distance: number) => {
      const strip = screenStrip(aperture, laser(550e-9), { distance });
      const top = highest(strip.far);
      return highest(bright(strip).map((value, i) => Math.abs(value - strip.far[i]) / top));
    };
    expect(apart(10)).toBeLessThan(0.01);
    expect(apart(0.005)).toBeGreaterThan(0.5);
  });

  test('a source slit blurs by its shadow', () => {
    const aperture = slits(2, { width: 20e-6, spacing: 200e-6 });
    const [distance, wavelength] = [2, 500e-9];
    // Fringes λz/d = 5 mm wide on the screen vanish when the slit's angle is λ/d (common practice, no source): sinc = 0.
    const fringes = (sourceAngle: number) => {
      const y = bright(
        screenStrip(aperture, laser(wavelength), {
          distance,
          sourceAngle,
          span: 10e-3,
          points: 401,
        }),
      ).subarray(100, 301);
      const [top, low] = [highest(y), -highest(y.map((v) => -v))];
      return (top - low) / (top + low);
    };
    expect(fringes(0)).toBeGreaterThan(0.98);
    expect(fringes(wavelength / 200e-6)).toBeLessThan(0.03);
    expect(fringes((0.60335 * wavelength) / 200e-6)).toBeCloseTo(0.5, 1);
  });

  test('bad input is told', () => {
    const aperture = slits(1, { width: 1e-4 });
    expect(() => screenStrip(aperture, laser(5e-7), {} as never)).toThrow(
      'distance must be a number',
    );
    expect(() => screenStrip(aperture, laser(5e-7), { distance: 1, focus: 2 } as never)).toThrow(
      'no parameter focus',
    );
  });
});
