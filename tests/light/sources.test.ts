import { describe, expect, test } from 'vitest';
import { blackbody, planck } from '../../kernel-lib/light/blackbody';
import { filtered, passband } from '../../kernel-lib/light/filtered';
import { illuminant } from '../../kernel-lib/light/illuminant';
import { lamp, laser } from '../../kernel-lib/light/lamp';
import { sunlight } from '../../kernel-lib/light/sunlight';
import { linearInterpolant } from '../../kernel-lib/numerics/interpolation';

/** Trapezoidal rule. */
function integral(x: readonly number[], y: readonly number[]): number {
  let sum = 0;
  for (let i = 1; i < x.length; i++) sum += ((y[i] + y[i - 1]) / 2) * (x[i] - x[i - 1]);
  return sum;
}

describe('passband and filtered', () => {
  test('the area under a passband is its width', () => {
    const { wavelengths, transmission } = passband(550e-9, 20e-9);
    expect(integral(wavelengths, transmission)).toBeCloseTo(20e-9, 18);
  });

  test('half of the light passes at centre ± width/2', () => {
    const even = {
      name: 'even',
      continuum: { wavelengths: [400e-9, 700e-9], power: [1, 1] },
    };
    const { continuum } = filtered(even, passband(550e-9, 20e-9));
    const at = linearInterpolant(continuum!.wavelengths, continuum!.power);
    expect(at(540e-9)).toBeCloseTo(0.5, 9);
    expect(at(550e-9)).toBeCloseTo(1, 12);
    expect(at(562e-9)).toBe(0);
  });

  test('lines outside the band are gone', () => {
    const green = filtered(lamp('mercury'), passband(546e-9, 10e-9));
    expect(green.lines?.map((line) => line.label)).toEqual(['Hg I 546.1 nm']);
  });
});

describe('black body', () => {
  test('its maximum lies where Wien says: λT = 2.897771955e-3 m K (CODATA 2018)', () => {
    const kelvin = 5000;
    const wavelength = 2.897771955e-3 / kelvin;
    const step = wavelength * 1e-4;
    const middle = planck(wavelength, kelvin);
    expect(middle).toBeGreaterThan(planck(wavelength - step, kelvin));
    expect(middle).toBeGreaterThan(planck(wavelength + step, kelvin));
  });

  test('all of it together is σT⁴/π, σ = 5.670374419e-8 W m⁻² K⁻⁴ (CODATA 2018)', () => {
    const kelvin = 3000;
    // Substituting λ = 1/u and summing to where nothing is left.
    let sum = 0;
    const step = 500;
    for (let u = step; u < 2e7; u += step) sum += (planck(1 / u, kelvin) / u ** 2) * step;
    expect(sum / ((5.670374419e-8 * kelvin ** 4) / Math.PI)).toBeCloseTo(1, 6);
  });
});

describe('bad input says what is wrong and how to mend it', () => {
  const cases: [string, () => unknown, RegExp][] = [
    [
      'lamp',
      () => lamp('neon' as never),
      /'sodium', 'mercury', 'cadmium', 'helium' or 'hydrogen'.*"neon"/,
    ],
    ['medium', () => lamp('sodium', { medium: 'water' as never }), /'air' or 'vacuum'.*"water"/],
    ['illuminant', () => illuminant('C' as never), /'D65' or 'A'.*"C"/],
    ['laser', () => laser(632.8), /632\.8 m.*nm\(632\.8\)/],
    ['laser NaN', () => laser(Number.NaN), /NaN.*metres/],
    ['kelvin', () => blackbody(20), /20 K.*500/],
    [
      'width',
      () => passband(650e-9, -40e-9),
      /width of the passband.*-4e-8.*greater than 0|greater than 0.*-4e-8/,
    ],
    ['band too wide', () => passband(400e-9, 700e-9), /reaches below 0/],
    [
      'nothing passes',
      () => filtered(laser(633e-9), passband(500e-9, 10e-9)),
      /Nothing of the light "laser 633 nm"/,
    ],
  ];
  test.each(cases)('%s', (_, run, message) => {
    expect(run).toThrow(message);
  });
});

test('the same sunlight is given each time, so that what is prepared for it is kept', () => {
  expect(sunlight()).toBe(sunlight());
});
