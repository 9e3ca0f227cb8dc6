import { describe, expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/aperture';
import { principalMaxima } from '../../kernel-lib/aperture/extrema';
import {
  blocked,
  withRulingErrors,
  withTransmissions,
  withWidths,
} from '../../kernel-lib/aperture/imperfect';
import { intensity } from '../../kernel-lib/aperture/intensity';

const wavelength = 550e-9;
const grating = slits(40, { width: 2e-6, spacing: 8e-6 });
const step = wavelength / 8e-6;

test('none of them changes the aperture it is given', () => {
  const before = JSON.stringify(grating);
  blocked(grating, 3);
  withWidths(
    grating,
    grating.slits.map(() => 1e-6),
  );
  withTransmissions(
    grating,
    grating.slits.map(() => 0.5),
  );
  withRulingErrors(grating, { seed: 1, place: 1e-7, width: 1e-8 });
  expect(JSON.stringify(grating)).toBe(before);
});

test('without its middle slit a triple slit is a double slit of twice the spacing', () => {
  const pair = slits(2, { width: 2e-6, spacing: 16e-6 });
  const triple = blocked(slits(3, { width: 2e-6, spacing: 8e-6 }), 1);
  for (const s of [0, 0.003, 0.017, 0.2]) {
    expect(intensity(triple, wavelength, s)).toBeCloseTo(intensity(pair, wavelength, s), 13);
  }
});

test('a wedge of phase turns the pattern: with 0, π/2, π, 3π/2 order 0 is dark, order 1/4 bright', () => {
  const four = slits(4, { width: 1e-7, spacing: 8e-6 });
  const wedge = withTransmissions(four, [1, { re: 0, im: 1 }, -1, { re: 0, im: -1 }]);
  expect(() => intensity(wedge, wavelength, 0.1)).toThrow(/cancel/);
  const almost = withTransmissions(four, [1, { re: 0, im: 1 }, -1, { re: 0, im: -0.9 }]);
  expect(intensity(almost, wavelength, step / 4)).toBeGreaterThan(1000);
});

test('the same seed makes the same errors, another seed others', () => {
  const errors = { place: 1e-7, width: 5e-8 };
  expect(withRulingErrors(grating, { seed: 'a', ...errors })).toEqual(
    withRulingErrors(grating, { seed: 'a', ...errors }),
  );
  expect(withRulingErrors(grating, { seed: 'a', ...errors })).not.toEqual(
    withRulingErrors(grating, { seed: 'b', ...errors }),
  );
});

// For places off by σ the mean intensity in order m falls by exp(−(2πmσ/d)²) and light spreads between the orders
// (the same average as in the Debye–Waller factor; common practice, no source).
test('random errors of place dim the orders, the higher the more, as the average over many gratings says', () => {
  const sigma = 0.3e-6;
  const mean = (m: number) => {
    let sum = 0;
    for (let seed = 0; seed < 200; seed++) {
      sum += intensity(withRulingErrors(grating, { seed, place: sigma }), wavelength, m * step);
    }
    return sum / 200 / intensity(grating, wavelength, m * step);
  };
  for (const m of [1, 2, 3]) {
    const kept = Math.exp(-((2 * Math.PI * m * sigma) ** 2) / 8e-6 ** 2);
    expect(Math.abs(mean(m) - (kept + (1 - kept) / 40))).toBeLessThan(0.01);
  }
});

// Two ghosts stand beside each order, a twentieth of an order away where the error comes back every 20 lines. To
// the order they are as J₁²(x) to J₀²(x), x = 2πεs/λ (Rowland's ghosts; common practice, no source).
test('a periodic error makes ghosts beside the orders', () => {
  const long = slits(400, { width: 1e-8, spacing: 8e-6 });
  const amplitude = 0.1e-6;
  const ruled = withRulingErrors(long, { seed: 1, periodic: { amplitude, period: 20 } });
  // The first two terms of the series of the Bessel functions: x is below 0.1.
  const x = (order: number) => (2 * Math.PI * amplitude * order) / 8e-6;
  const j0 = 1 - x(1) ** 2 / 4;
  for (const order of [0.95, 1.05]) {
    const j1 = (x(order) / 2) * (1 - x(order) ** 2 / 8);
    const ghost = intensity(ruled, wavelength, step * order) / intensity(ruled, wavelength, step);
    expect(ghost / (j1 / j0) ** 2).toBeCloseTo(1, 3);
  }
  expect(intensity(long, wavelength, step * 1.05)).toBeLessThan(1e-20);
});

test('orders are still counted with the mean spacing', () => {
  const ruled = withRulingErrors(slits(10, { width: 2e-6, spacing: 9e-6 }), {
    seed: 5,
    place: 2e-7,
  });
  const orders = principalMaxima(ruled, wavelength, { from: 0, to: 0.22 }).map(
    ({ order }) => order,
  );
  expect(orders).toEqual([0, 1, 2, 3]);
  const gap = blocked(slits(10, { width: 2e-6, spacing: 9e-6 }), 4);
  const first = principalMaxima(gap, wavelength, { from: 0.01, to: 0.1 }).find(
    ({ order }) => order === 1,
  )!;
  expect(first.s).toBeCloseTo(wavelength / 9e-6, 4);
});

describe('ruling errors', () => {
  const grating = slits(2000, { width: 1e-6, spacing: 10e-6 });
  const deviations = (list: readonly number[]) => {
    const mean = list.reduce((sum, x) => sum + x, 0) / list.length;
    return Math.sqrt(list.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (list.length - 1));
  };

  test('places and widths scatter by the deviations asked for', () => {
    const ruled = withRulingErrors(grating, { seed: 4, place: 2e-7, width: 3e-8 });
    const off = ruled.slits.map(({ centre }, i) => centre - grating.slits[i].centre);
    const wide = ruled.slits.map(({ width }) => width - 1e-6);
    // The standard deviation of 2000 is known to 1/√4000 = 1.6 %; four of those.
    expect(Math.abs(deviations(off) / 2e-7 - 1)).toBeLessThan(0.064);
    expect(Math.abs(deviations(wide) / 3e-8 - 1)).toBeLessThan(0.064);
    expect(Math.abs(off.reduce((sum, x) => sum + x, 0) / 2000)).toBeLessThan(4 * (2e-7 / 44.7));
  });

  test('a periodic error is a sine of the number of the slit', () => {
    const periodic = { amplitude: 1e-6, period: 8 };
    const ruled = withRulingErrors(grating, { seed: 4, periodic });
    ruled.slits.slice(0, 20).forEach(({ centre, width }, i) => {
      const off = centre - grating.slits[i].centre;
      expect(off).toBeCloseTo(1e-6 * Math.sin((2 * Math.PI * i) / 8), 14);
      expect(width).toBe(1e-6);
    });
    const without = withRulingErrors(grating, { seed: 4 });
    expect(without.slits.map(({ centre }) => centre)).toEqual(
      grating.slits.map(({ centre }) => centre),
    );
    expect(() =>
      withRulingErrors(grating, { seed: 1, periodic: { ...periodic, period: 0 } }),
    ).toThrow(/The period of the periodic error/);
    expect(() => withRulingErrors(grating, { seed: 1, width: -1e-9 })).toThrow(/of the widths/);
  });

  test('as many transmissions as slits', () => {
    const two = slits(2, { width: 1e-6, spacing: 10e-6 });
    expect(() => withTransmissions(two, [1])).toThrow(/^2 transmissions are needed/);
    expect(() => withTransmissions(two, 5 as never)).toThrow(/but 5 was given/);
  });
});
