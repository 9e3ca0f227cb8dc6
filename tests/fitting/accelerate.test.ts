import { describe, expect, test } from 'vitest';
import { accelerate, type LeastSquares, Place } from '../../kernel-lib/fitting/levenberg-marquardt';

/** f = (a², a + b², ab): its second derivative along v is (2v₁², 2v₂², 2v₁v₂) everywhere. */
const curved: LeastSquares = {
  observed: Float64Array.of(3, 2, 1),
  bounds: [undefined, undefined],
  model: ([a, b], out) => out.set([a * a, a + b * b, a * b]),
  both: ([a, b], values, columns) => {
    values.set([a * a, a + b * b, a * b]);
    columns[0].set([2 * a, 1, b]);
    columns[1].set([0, 2 * b, a]);
  },
};
const start = [2, 3];
const step = Float64Array.of(0.3, -0.2);
const weights = Float64Array.of(0.7, 1.9);

/** −(JᵀJ + D²)⁻¹ Jᵀ f″ for `curved` at the start, the 2 × 2 normal equations solved by Cramer's rule. */
function bendByHand(): [number, number] {
  const second = [2 * 0.3 ** 2, 2 * 0.2 ** 2, -2 * 0.3 * 0.2];
  const [one, two] = [
    [4, 1, 3],
    [0, 6, 2],
  ];
  const times = (a: readonly number[], b: readonly number[]) =>
    a.reduce((sum, value, i) => sum + value * b[i], 0);
  const [aa, ab, bb] = [times(one, one) + 0.49, times(one, two), times(two, two) + 3.61];
  const [ra, rb] = [-times(one, second), -times(two, second)];
  const determinant = aa * bb - ab * ab;
  return [(ra * bb - rb * ab) / determinant, (aa * rb - ab * ra) / determinant];
}

const isBent = (found: Float64Array | undefined) => {
  const bend = bendByHand();
  expect(found?.[0]).toBeCloseTo(step[0] + bend[0] / 2, 12);
  expect(found?.[1]).toBeCloseTo(step[1] + bend[1] / 2, 12);
};

describe('a step along a curved model', () => {
  test('half the second derivative along it is added, damped as the step itself', () => {
    isBent(accelerate(curved, new Place(curved, start), step, weights));
  });

  test('neither the step nor the Jacobian is changed', () => {
    const place = new Place(curved, start);
    accelerate(curved, place, step, weights);
    expect([...step]).toEqual([0.3, -0.2]);
    expect(place.columns.map((column) => [...column])).toEqual([
      [4, 1, 3],
      [0, 6, 2],
    ]);
  });

  test('a straight model bends no step', () => {
    const straight: LeastSquares = {
      observed: Float64Array.of(3, 2, 1),
      bounds: [undefined, undefined],
      model: ([a, b], out) => out.set([a, a + b, 2 * b]),
      both: ([a, b], values, columns) => {
        values.set([a, a + b, 2 * b]);
        columns[0].set([1, 1, 0]);
        columns[1].set([0, 1, 2]);
      },
    };
    const found = accelerate(straight, new Place(straight, start), step, weights);
    expect(found?.[0]).toBeCloseTo(0.3, 12);
    expect(found?.[1]).toBeCloseTo(-0.2, 12);
  });
});

describe('bounds', () => {
  const within = (a: [number, number], b: [number, number]) => {
    const problem = { ...curved, bounds: [a, b] };
    return accelerate(problem, new Place(problem, start), step, weights);
  };

  test('a bound beyond the tenth of the step that is tried ahead does not matter', () => {
    isBent(within([1.99, 2.04], [2.97, 3.01]));
  });

  test('the plain step where the tenth of any parameter would cross one', () => {
    expect(within([0, 2.02], [0, 9])).toBe(step);
    expect(within([0, 9], [2.99, 9])).toBe(step);
  });
});

describe('a bend that is not believed', () => {
  /** f = p² at p = 1, where J = 2 and f″ along v is 2v². */
  const parabola: LeastSquares = {
    observed: Float64Array.of(0),
    bounds: [undefined],
    model: ([p], out) => out.set([p * p]),
    both: ([p], values, columns) => {
      values.set([p * p]);
      columns[0].set([2 * p]);
    },
  };
  const bent = (v: number, weight: number) =>
    accelerate(parabola, new Place(parabola, [1]), Float64Array.of(v), Float64Array.of(weight));

  // The bend is −4v²/(4 + w²): with w = 2 twice its length is v times the step's, believed up to ¾.
  test('up to 3/8 of the step it is', () => {
    expect(bent(0.74, 2)?.[0]).toBeCloseTo(0.74 - 0.74 ** 2 / 4, 12);
    expect(bent(-0.74, 2)?.[0]).toBeCloseTo(-0.74 - 0.74 ** 2 / 4, 12);
    expect(bent(0.76, 2)).toBeUndefined();
    expect(bent(-0.76, 2)).toBeUndefined();
  });

  test('the damping says how long a parameter is', () => {
    // The second parameter bends by more than itself and the first not at all.
    const two: LeastSquares = {
      observed: Float64Array.of(0, 0),
      bounds: [undefined, undefined],
      model: ([a, b], out) => out.set([a, b * b]),
      both: ([a, b], values, columns) => {
        values.set([a, b * b]);
        columns[0].set([1, 0]);
        columns[1].set([0, 2 * b]);
      },
    };
    const of = (first: number, second: number) =>
      accelerate(
        two,
        new Place(two, [1, 1]),
        Float64Array.of(1, 2),
        Float64Array.of(first, second),
      );
    expect(of(10, 0.01)?.[0]).toBeCloseTo(1, 12);
    expect(of(10, 0.01)?.[1]).toBeCloseTo(2 - 8 / 4.0001, 9);
    expect(of(0.01, 0.01)).toBeUndefined();
  });

  test('no step where the model gives no number a tenth of the way ahead', () => {
    const edge = (value: number): LeastSquares => ({
      ...parabola,
      model: ([p], out) => out.set([p > 1 ? value : p * p]),
    });
    for (const value of [Number.NaN, Infinity]) {
      const problem = edge(value);
      const place = new Place(problem, [1]);
      const found = accelerate(problem, place, Float64Array.of(0.1), Float64Array.of(1));
      expect(found).toBeUndefined();
    }
  });
});
