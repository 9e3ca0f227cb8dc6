import { describe, expect, test } from 'vitest';
import { correlated, correlation, effectiveFreedom } from '../../kernel-lib/quantity/correlated';
import { meansOf } from '../../kernel-lib/quantity/means';
import { measured, propagate } from '../../kernel-lib/quantity/measured';
import { printMeasured } from '../../kernel-lib/quantity/print-measured';

/**
 * JCGM 100:2008, H.1: calibration of an end gauge. Lengths in nm.
 * Inputs and 50000838(32) as quoted in the documentation of MSLNZ/GTC, GUM_H1.rst (seen);
 * u_c = 32 nm and the degrees of freedom 16 also from memory of the GUM itself.
 */
describe('H.1, the end gauge', () => {
  const uniform = (halfWidth: number) => halfWidth / Math.sqrt(3);
  const standard = measured(50_000_623, 25, { freedom: 18 });
  const indication = measured(215, 5.8, { freedom: 24 });
  const random = measured(0, 3.9, { freedom: 5 });
  const systematic = measured(0, 6.7, { freedom: 8 });
  const expansion = measured(11.5e-6, uniform(2e-6));
  const expansionDifference = measured(0, uniform(1e-6), { freedom: 50 });
  const temperatureDifference = measured(0, uniform(0.05), { freedom: 2 });
  const temperature = measured(-0.1, 0.2).plus(measured(0, 0.5 / Math.sqrt(2)));
  const difference = indication.plus(random).plus(systematic);
  const length = standard
    .plus(difference)
    .minus(
      standard.times(
        expansionDifference.times(temperature).plus(expansion.times(temperatureDifference)),
      ),
    );

  test('the length is 50 000 838 nm with u = 32 nm', () => {
    expect(Math.round(length.value)).toBe(50_000_838);
    expect(Math.round(length.u)).toBe(32);
    expect(printMeasured(length, { digits: 2 })).toBe('5.0000838(32) × 10⁷');
  });

  test('the components are those of the budget', () => {
    expect(difference.u).toBeCloseTo(9.7, 1);
    const part = (x: typeof standard) => correlation(length, x) * length.u;
    expect(part(standard)).toBeCloseTo(25, 3);
    expect(Math.abs(part(temperatureDifference))).toBeCloseTo(16.599, 2);
    expect(part(expansionDifference)).toBeCloseTo(2.88679, 4);
    expect(part(expansion)).toBe(0);
    expect(part(temperature)).toBe(0);
  });

  test('the effective degrees of freedom are 16, cut to a whole number', () => {
    expect(Math.floor(effectiveFreedom(length))).toBe(16);
  });

  test('propagate gives the same by differences', () => {
    const again = propagate(
      (ls, d, da, th, a, dt) => ls + d - ls * (da * th + a * dt),
      standard,
      difference,
      expansionDifference,
      temperature,
      expansion,
      temperatureDifference,
    );
    expect(again.value).toBeCloseTo(length.value, 6);
    expect(again.u).toBeCloseTo(length.u, 5);
    expect(correlation(again, length)).toBeCloseTo(1, 9);
  });
});

/**
 * JCGM 100:2008, H.2: resistance and reactance read together.
 * The readings are from memory, and the same in public code that quotes the GUM (seen).
 * Results with three decimals and the correlation coefficients with three are from memory; rounded to two digits
 * they are those that the documentation of MSLNZ/GTC, GUM_H2.rst, prints (seen): 127.732(70), 219.85(30),
 * 254.26(24); −0.59, −0.49, +0.99, there from means and coefficients already rounded.
 */
describe('H.2, resistance, reactance and impedance', () => {
  const voltage = [5.007, 4.994, 5.005, 4.99, 4.999];
  const current = [19.663e-3, 19.639e-3, 19.64e-3, 19.685e-3, 19.678e-3];
  const phase = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
  const [v, i, phi] = meansOf([voltage, current, phase]);
  const z = v.over(i);
  const r = z.times(phi.cos());
  const x = z.times(phi.sin());

  test('the means, their uncertainties and their correlation', () => {
    expect(v.value).toBeCloseTo(4.999, 10);
    expect(v.u).toBeCloseTo(0.0032, 4);
    expect(i.value).toBeCloseTo(19.661e-3, 10);
    expect(i.u).toBeCloseTo(9.5e-6, 7);
    expect(phi.value).toBeCloseTo(1.04446, 10);
    expect(phi.u).toBeCloseTo(0.00075, 5);
    expect(correlation(v, i)).toBeCloseTo(-0.36, 2);
    expect(correlation(v, phi)).toBeCloseTo(0.86, 2);
    expect(correlation(i, phi)).toBeCloseTo(-0.65, 2);
  });

  test('the results', () => {
    expect(r.value).toBeCloseTo(127.732, 3);
    expect(r.u).toBeCloseTo(0.071, 3);
    expect(x.value).toBeCloseTo(219.847, 3);
    // 0.29558 to more digits: the printed one, from memory, is off by less than one in its last place.
    expect(Math.abs(x.u - 0.295)).toBeLessThan(0.001);
    expect(z.value).toBeCloseTo(254.26, 3);
    expect(z.u).toBeCloseTo(0.236, 3);
  });

  test('the correlation of the results', () => {
    expect(correlation(r, x)).toBeCloseTo(-0.588, 2);
    expect(correlation(r, z)).toBeCloseTo(-0.485, 2);
    expect(correlation(x, z)).toBeCloseTo(0.993, 3);
  });

  test('five sets of readings taken together leave four degrees of freedom, whatever is computed from them', () => {
    // One set of n = 5 simultaneous readings has n − 1 degrees of freedom, and so has every function of its means.
    for (const result of [r, x, z, v, i, phi, r.plus(x), z.times(3).minus(r)])
      expect(effectiveFreedom(result)).toBeCloseTo(4, 9);
    // The order in which they were given is no matter of physics.
    const [phi2, v2, i2] = meansOf([phase, voltage, current]);
    expect(effectiveFreedom(v2.over(i2).times(phi2.cos()))).toBeCloseTo(4, 9);
  });

  test('from rounded means and coefficients, what GTC prints', () => {
    const u = [3.2e-3, 9.5e-6, 7.5e-4];
    const rho = [
      [1, -0.36, 0.86],
      [-0.36, 1, -0.65],
      [0.86, -0.65, 1],
    ];
    const matrix = rho.map((row, a) => row.map((value, b) => value * u[a] * u[b]));
    const [v2, i2, phi2] = correlated([4.999, 19.661e-3, 1.04446], matrix);
    const z2 = v2.over(i2);
    const print = (value: typeof z2) => printMeasured(value, { digits: 2 });
    expect(print(z2.times(phi2.cos()))).toBe('127.732(70)');
    expect(print(z2.times(phi2.sin()))).toBe('219.85(30)');
    expect(print(z2)).toBe('254.26(24)');
  });

  test('without the correlation u(R) would come out far too large', () => {
    const alone = propagate(
      (a, b, c) => (a / b) * Math.cos(c),
      measured(v.value, v.u),
      measured(i.value, i.u),
      measured(phi.value, phi.u),
    );
    expect(alone.u).toBeGreaterThan(2 * r.u);
  });
});
