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

  test.each([
    [2, 0.4],
    [3, 0.2],
    [4, 1],
    [5, -0.1],
    [6, 0.6],
  ])(
    '%i slits in a beam: the square of the sum of their fields, each exp(−(x/w)²)',
    (count, falloff) => {
      // The beam's radius from q = (D/w)², and the sum of the fields with their phases, written out.
      const [a, d] = [40e-6, 100e-6];
      const outermost = ((count - 1) / 2) * d;
      const field = (x: number) => Math.exp((-falloff * x * x) / outermost ** 2);
      const light = (s: number) => {
        let [re, im, all] = [0, 0, 0];
        for (let j = 0; j < count; j++) {
          const x = j * d - outermost;
          re += field(x) * Math.cos((2 * Math.PI * x * s) / wavelength);
          im += field(x) * Math.sin((2 * Math.PI * x * s) / wavelength);
          all += field(x);
        }
        const u = (Math.PI * a * s) / wavelength;
        return ((re * re + im * im) / all ** 2) * (u === 0 ? 1 : Math.sin(u) / u) ** 2;
      };
      for (const s of [0, 4e-4, -1.3e-3, 2.5e-3, 7.1e-3]) {
        const [y] = at([s], count, { wavelength }, [a, 7, 0.5, 0, d, 1, 0, 0, 1, falloff]);
        expect(y).toBeCloseTo(0.5 + 7 * light(s), 12);
      }
    },
  );

  test('phases of any size, from hundredths of a radian to millions', () => {
    // Two slits: cos² of half the phase; a wavelength that makes s as many turns as is wanted.
    for (const turns of [1e-3, 0.12, 0.37, 0.5, 0.74, 0.99, 17.3, 4096.21, 9.87e4, 1.53e5, 3.7e6]) {
      const d = 1e-4;
      const [y] = at([1], 2, { wavelength: d / turns }, [1e-12 / turns, 1, 0, 0, d, 1]);
      expect(y).toBeCloseTo(Math.cos(Math.PI * turns) ** 2, turns < 1e5 ? 11 : 8);
      const [mirrored] = at([-1], 2, { wavelength: d / turns }, [1e-12 / turns, 1, 0, 0, d, 1]);
      expect(mirrored).toBeCloseTo(y, 12);
    }
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

/** The pattern of N slits, (sin Nα/N sin α)² sinc², moved by `shift` in s. */
function sharp(x: number, count: number, [a, d, middle]: readonly number[], shift: number): number {
  const s = (x - middle) / Math.hypot(x - middle, focalLength) + shift;
  const [u, half] = [(Math.PI * a * s) / wavelength, (Math.PI * d * s) / wavelength];
  const fringes =
    Math.abs(Math.sin(half)) < 1e-7 ? 1 : Math.sin(count * half) / (count * Math.sin(half));
  return (fringes * (u === 0 ? 1 : Math.sin(u) / u)) ** 2;
}

/** Its mean over many points of a source that is as wide on the screen as `blur`, by the middles of equal steps. */
function smeared(x: number, count: number, place: readonly number[], blur: number, shape: string) {
  const steps = 4000;
  // A normal distribution falls to one half at half of its full width: 2^(−t²), t in halves of it.
  const reach = shape === 'box' ? 1 : 6.5;
  let [sum, total] = [0, 0];
  for (let k = 0; k < steps; k++) {
    const t = reach * ((2 * (k + 0.5)) / steps - 1);
    const weight = shape === 'box' ? 1 : 2 ** -(t * t);
    sum += weight * sharp(x, count, place, (t * blur) / 2 / focalLength);
    total += weight;
  }
  return sum / total;
}

describe('a blur', () => {
  const place = [40e-6, 100e-6, 1e-4];
  const x = [-6e-3, -3.13e-3, 1e-4, 1e-3, 2.6e-3, 5.4e-3];
  const p = (square: number) => [40e-6, 7, 0.5, 1e-4, 100e-6, 1, square, 0];
  const blurred = (count: number, shape: 'box' | 'gaussian', square: number) => {
    const out = new Float64Array(x.length);
    const model = new SlitModel(Float64Array.from(x), count, far, shape);
    model.evaluate(p(square), new Float64Array(x.length).fill(1), out);
    return out;
  };

  test.each(['box', 'gaussian'] as const)('%s: the mean over many points of a source', (shape) => {
    for (const count of [1, 2, 5, 16])
      for (const blur of [1e-6, 3e-5, 4e-4, 2e-3]) {
        const found = blurred(count, shape, blur * blur);
        for (const [i, at] of x.entries()) {
          const expected = 0.5 + 7 * smeared(at, count, place, blur, shape);
          // The middles of 4000 steps are right to 1e-7 of the sharpest bend.
          expect(Math.abs(found[i] - expected)).toBeLessThan(2e-6);
        }
      }
  });

  test('of no width it is none', () => {
    for (const [i, at] of x.entries())
      expect(blurred(3, 'box', 0)[i]).toBeCloseTo(0.5 + 7 * sharp(at, 3, place, 0), 9);
  });

  test('a square below 0 sharpens by as much as one above it blurs', () => {
    for (const shape of ['box', 'gaussian'] as const)
      for (const square of [1e-12, 4e-8, 1e-6]) {
        const [less, none, more] = [-square, 0, square].map((q) => blurred(3, shape, q));
        for (const i of x.keys()) expect(less[i] + more[i]).toBeCloseTo(2 * none[i], 9);
      }
  });

  test('without a focal length its width is one of direction sines', () => {
    const one = (geometry: SlitGeometry, middle: number, at: number, width: number) => {
      const out = new Float64Array(1);
      const model = new SlitModel(Float64Array.of(at), 3, geometry);
      model.evaluate([40e-6, 7, 0.5, middle, 100e-6, 1, width ** 2], Float64Array.of(1), out);
      return out[0];
    };
    const s = 2e-3 / Math.hypot(2e-3, focalLength);
    expect(one({ wavelength }, 0, s, 1e-3)).toBeCloseTo(one(far, 0, 2e-3, 1e-3 * focalLength), 12);
  });

  test('derivatives by every parameter, beside a sum of differences, at wide and narrow blurs', () => {
    const steps = [1e-10, 1e-4, 1e-4, 1e-8, 1e-10, 1e-5, 1e-9, 1e-3, 1e-5, 1e-5];
    for (const count of [1, 2, 4])
      for (const shape of ['box', 'gaussian'] as const)
        for (const square of [-1e-6, -1e-8, 0, 1e-12, 1e-8, 2e-6]) {
          const model = new SlitModel(Float64Array.from(x), count, far, shape);
          const one = new Float64Array(x.length).fill(1);
          const at = [40e-6, 7, 0.5, 1e-4, 100e-6, 0.9, square, 30, 1, 0.3];
          // The exponent has its own test, where no light is below 0.
          const columns = at.map((_, j) => (j === 8 ? undefined : new Float64Array(x.length)));
          model.evaluate(at, one, new Float64Array(x.length), columns);
          const moved = (j: number, by: number) => {
            const out = new Float64Array(x.length);
            model.evaluate(
              at.map((v, k) => (k === j ? v + by : v)),
              one,
              out,
            );
            return out;
          };
          // By the square of the blur differences are taken where the pattern is smooth in it.
          const which =
            square === 0 || square === 1e-12
              ? [0, 1, 2, 3, 4, 5, 7, 9]
              : [0, 1, 2, 3, 4, 5, 6, 7, 9];
          for (const j of which) {
            const [up, down] = [moved(j, steps[j]), moved(j, -steps[j])];
            const slopes = up.map((v, i) => (v - down[i]) / (2 * steps[j]));
            const size = Math.max(...slopes.map(Math.abs));
            for (const i of x.keys())
              expect(Math.abs(columns[j]![i] - slopes[i])).toBeLessThanOrEqual(2e-5 * size);
          }
        }
  });

  test('by its square at 0: curvature over 24 (box), over 16 ln 2 (normal distribution)', () => {
    // ⟨I⟩ = I + I″ ⟨t²⟩/2; ⟨t²⟩ is b²/12, and b²/(8 ln 2) where b is the full width at half height.
    const h = 5e-6;
    for (const [shape, share] of [
      ['box', 1 / 24],
      ['gaussian', 1 / (16 * Math.LN2)],
    ] as const) {
      const model = new SlitModel(Float64Array.of(2.6e-3), 3, far, shape);
      const columns = p(0).map(() => new Float64Array(1));
      model.evaluate(p(0), Float64Array.of(1), new Float64Array(1), columns);
      const at = (shift: number) => 7 * sharp(2.6e-3, 3, place, shift / focalLength);
      const curvature = (at(h) - 2 * at(0) + at(-h)) / (h * h);
      expect(columns[6][0] / (share * curvature)).toBeCloseTo(1, 3);
    }
  });
});

test('sloping ground: its level is that at the middle of the pattern', () => {
  const at = [1e-4, 1e-4 + 2e-3];
  const sloping = [40e-6, 7, 0.5, 1e-4, 100e-6, 1, 0, 30];
  const [level, tilted] = [sloping.slice(0, 6), sloping].map((q) => {
    const out = new Float64Array(2);
    new SlitModel(Float64Array.from(at), 3, far).evaluate(q, Float64Array.of(1, 1), out);
    return out;
  });
  expect(tilted[0]).toBeCloseTo(level[0], 12);
  expect(tilted[1]).toBeCloseTo(level[1] + 30 * 2e-3, 12);
});
