import { expect, test } from 'vitest';
import { slits } from '../../../kernel-lib/aperture/aperture';
import { intensity } from '../../../kernel-lib/aperture/intensity';

import { fitSlits, fittedCurve } from '../../../kernel-lib/fitting/slits/fit-slits';
import { slitProfile } from '../../../kernel-lib/fitting/slits/slit-profile';
import { seeded } from '../../../kernel-lib/numerics/random';

const geometry = { wavelength: 546e-9, focalLength: 0.5 };

test('the residuals of a fit are the points less the curve', () => {
  const profile = slitProfile(seeded(1), {
    ...{ count: 3, width: 40e-6, spacing: 100e-6, points: 200 },
    ...geometry,
  });
  const fit = fitSlits(profile, { ...geometry, count: 3 });
  const curve = fittedCurve(fit, geometry);
  profile.x.forEach((x, i) => {
    expect(profile.y[i] - curve(x)).toBeCloseTo(fit.residuals[i], 6);
  });
});

test.each([1, 2, 4])('of %i slits at full visibility it is the far field', (count) => {
  const measures = { width: 40e-6, spacing: 100e-6 };
  const profile = slitProfile(seeded(2), {
    ...{ count, visibility: 1, amplitude: 1, background: 0.1, points: 300 },
    ...{ readNoise: 1e-9, shotNoise: 0 },
    ...measures,
    ...geometry,
  });
  const curve = fittedCurve(fitSlits(profile, { ...geometry, count }), geometry);
  for (const x of [0, 0.0007, 0.0021, -0.0055]) {
    const s = Math.sin(Math.atan(x / 0.5));
    expect(curve(x)).toBeCloseTo(0.1 + intensity(slits(count, measures), 546e-9, s), 5);
  }
});

test('a wavelength that is none is refused', () => {
  const profile = slitProfile(seeded(3), { count: 2, width: 4e-5, spacing: 1e-4, ...geometry });
  const fit = fitSlits(profile, { ...geometry, count: 2 });
  expect(() => fittedCurve(fit, { wavelength: 0 })).toThrow(/wavelength/);
});

test('a focal length that is none is refused; without one, positions are direction sines', () => {
  const sines = { wavelength: 546e-9 };
  const pair = slits(2, { width: 4e-5, spacing: 1e-4 });
  const x = Float64Array.from({ length: 200 }, (_, i) => (i - 99.5) * 2e-4);
  const profile = { x, y: x.map((sine) => 1 + 10 * intensity(pair, 546e-9, sine)) };
  const fit = fitSlits(profile, { ...sines, count: 2 });
  expect(() => fittedCurve(fit, { ...sines, focalLength: 0 })).toThrow(/focal length/);
  const curve = fittedCurve(fit, sines);
  const { centre, background, amplitude } = fit;
  expect(curve(centre.value)).toBeCloseTo(background.value + amplitude.value, 9);
  profile.x.forEach((s, i) => {
    expect(profile.y[i] - curve(s)).toBeCloseTo(fit.residuals[i], 6);
  });
});
