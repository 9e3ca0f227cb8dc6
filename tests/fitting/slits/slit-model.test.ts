import { describe, expect, test } from 'vitest';
import { type SlitGeometry, SlitModel } from '../../../kernel-lib/fitting/slits/slit-model';

const wavelength = 500e-9;
const focalLength = 0.5;
const far = { wavelength, focalLength };

function at(x: number[], count: number, geometry: SlitGeometry, p: number[], weight = 1) {
  const out = new Float64Array(x.length);
  const weights = new Float64Array(x.length).fill(weight);
  new SlitModel(Float64Array.from(x), count, geometry).evaluate(p, weights, out);
  return out;
}

/** Derivative with respect to parameter j at one place. */
function slope(x: number, count: number, geometry: SlitGeometry, p: number[], j: number) {
  const columns = p.map(() => new Float64Array(1));
  const one = Float64Array.of(1);
  new SlitModel(Float64Array.of(x), count, geometry).evaluate(p, one, new Float64Array(1), columns);
  return columns[j][0];
}

describe('values of the pattern', () => {
  test('a grating of N slits: (sin Nα/N sin α)² sinc² at wide angles too', () => {
    const [a, d] = [3e-6, 7e-6];
    for (const count of [2, 3, 6]) {
      for (const x of [0.003, 0.041, -0.22, 0.7]) {
        const s = x / Math.hypot(x, focalLength);
        const [u, half] = [(Math.PI * a * s) / wavelength, (Math.PI * d * s) / wavelength];
        const expected =
          ((Math.sin(count * half) / (count * Math.sin(half))) * (Math.sin(u) / u)) ** 2;
        const [y] = at([x + 0.01], count, far, [a, 50, 3, 0.01, d, 1]);
        expect(y).toBeCloseTo(3 + 50 * expected, 9);
      }
    }
  });

  test('without a focal length the position is the direction sine, measured from the centre', () => {
    // First zero of a slit of width a: s = λ/a.
    const p = [50e-6, 8, 2, 0.004];
    const [zero, middle] = at([0.014, 0.004], 1, { wavelength }, p);
    expect(zero).toBeCloseTo(2, 12);
    expect(middle).toBe(10);
  });

  test('near the middle one slit falls off as 1 − u²/3, to 13 digits', () => {
    for (const u of [0, 1e-6, 4e-4, 9.9e-4]) {
      const s = (u * wavelength) / (Math.PI * 50e-6);
      const [y] = at([s], 1, { wavelength }, [50e-6, 1, 0, 0]);
      expect(y).toBeCloseTo(1 - u ** 2 / 3 + (2 * u ** 4) / 45, 13);
    }
  });

  test('coherence falls with the square of the distance: V, V⁴, V⁹ for 1, 2, 3 spacings', () => {
    // The sum over pairs of four slits, written out, at a quarter of a fringe.
    const [d, V] = [80e-6, 0.6];
    const phase = 0.7;
    const s = (phase * wavelength) / (2 * Math.PI * d);
    const sum =
      4 + 2 * (3 * V * Math.cos(phase) + 2 * V ** 4 * Math.cos(2 * phase) + V ** 9 * Math.cos(2.1));
    const [y] = at([s], 4, { wavelength }, [1e-12, 1, 0, 0, d, V]);
    expect(y).toBeCloseTo(sum / 16, 12);
  });

  test('everything is multiplied by the weight', () => {
    const p = [50e-6, 8, 2, 0, 90e-6, 0.9];
    const [y] = at([1e-3], 3, far, p);
    expect(at([1e-3], 3, far, p, 0.25)[0]).toBeCloseTo(y / 4, 14);
  });
});

describe('derivatives', () => {
  test('by the width, near the middle: −(2/3) u² A/a, to six digits', () => {
    // A sinc²u = A (1 − u²/3 + 2u⁴/45 …), and u is proportional to a.
    for (const u of [0, 1e-7, 1e-5, 9e-4, 2e-3, 0.05]) {
      const [a, A] = [50e-6, 7];
      const s = (u * wavelength) / (Math.PI * a);
      const series = (A / a) * ((-2 / 3) * u ** 2 + (8 / 45) * u ** 4 - (2 / 105) * u ** 6);
      const off = slope(s, 1, { wavelength }, [a, A, 0, 0], 0) - series;
      expect(Math.abs(off)).toBeLessThanOrEqual(3e-7 * Math.abs(series));
    }
  });

  test('by the centre: minus the slope of the pattern along the screen', () => {
    const p = [3e-6, 50, 3, 0.01, 7e-6, 0.8];
    for (const geometry of [far, { wavelength: 4e-7 }]) {
      for (const x of [0.05, -0.3]) {
        const h = 1e-6;
        const [up, down] = at([x + h, x - h], 3, geometry, p);
        expect(slope(x, 3, geometry, p, 3)).toBeCloseTo((down - up) / (2 * h), 3);
      }
    }
  });

  test('by spacing and visibility: as the pattern changes with them', () => {
    const p = [3e-6, 50, 3, 0, 7e-6, 0.8];
    for (const j of [4, 5]) {
      const h = 1e-5 * p[j];
      const moved = (by: number) => p.map((value, k) => (k === j ? value + by : value));
      for (const x of [0.02, -0.033]) {
        const [up] = at([x], 4, far, moved(h));
        const [down] = at([x], 4, far, moved(-h));
        expect((2 * h * slope(x, 4, far, p, j)) / (up - down)).toBeCloseTo(1, 6);
      }
    }
  });

  test('by amplitude and background: the shape itself, and 1, times the weight', () => {
    const p = [50e-6, 8, 2, 0, 90e-6, 0.9];
    const columns = p.map(() => new Float64Array(1));
    const out = new Float64Array(1);
    const model = new SlitModel(Float64Array.of(1e-3), 3, far);
    model.evaluate(p, Float64Array.of(0.5), out, columns);
    expect(columns[2][0]).toBe(0.5);
    expect(columns[1][0]).toBeCloseTo((out[0] - 0.5 * 2) / 8, 14);
  });

  test('any of them may be left out, the others are the same', () => {
    const p = [50e-6, 8, 2, 1e-4, 90e-6, 0.9];
    const x = Float64Array.of(1e-3, 2e-3);
    const one = Float64Array.of(1, 1);
    const model = new SlitModel(x, 3, far);
    const all = p.map(() => new Float64Array(2));
    model.evaluate(p, one, new Float64Array(2), all);
    for (const k of p.keys()) {
      const some = p.map((_, j) => (j === k ? undefined : new Float64Array(2)));
      model.evaluate(p, one, new Float64Array(2), some);
      expect(some).toEqual(all.map((column, j) => (j === k ? undefined : column)));
      const few = all.slice(0, k).map(() => new Float64Array(2));
      model.evaluate(p, one, new Float64Array(2), few);
      expect(few).toEqual(all.slice(0, k));
    }
  });
});

test('one slit has four parameters, several have six', () => {
  const count = (n: number) => new SlitModel(new Float64Array(1), n, far).parameterCount;
  expect([1, 2, 7].map(count)).toEqual([4, 6, 6]);
});
