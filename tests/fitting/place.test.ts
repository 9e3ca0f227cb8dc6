import { describe, expect, test, vi } from 'vitest';
import type { Bound } from '../../kernel-lib/fitting/derivatives';
import { backSubstitute, type Triangle } from '../../kernel-lib/fitting/householder';
import type { LeastSquares } from '../../kernel-lib/fitting/least-squares';
import { Place } from '../../kernel-lib/fitting/place';

/** a exp(−b t) at t = 0, 1, 2, 3. */
const times = [0, 1, 2, 3];
const observed = Float64Array.of(8.1, 3.9, 2.1, 0.9);
const decay = ([a, b]: readonly number[]) => times.map((t) => a * Math.exp(-b * t));
const slopes = ([a, b]: readonly number[]) => [
  times.map((t) => Math.exp(-b * t)),
  times.map((t) => -a * t * Math.exp(-b * t)),
];
const chiOf = (p: readonly number[]) =>
  decay(p).reduce((sum, y, i) => sum + (observed[i] - y) ** 2, 0);

const model = vi.fn((p: number[], out: Float64Array) => out.set(decay(p)));
const both = vi.fn((p: number[], out: Float64Array, columns: Float64Array[]) => {
  out.set(decay(p));
  for (const [j, column] of slopes(p).entries()) columns[j].set(column);
});

const byDifferences = (...bounds: (Bound | undefined)[]): LeastSquares => ({
  observed,
  model,
  bounds,
});
const byFormula = (...bounds: (Bound | undefined)[]): LeastSquares => ({
  ...byDifferences(...bounds),
  both,
});
const ways = [
  ['by differences', byDifferences],
  ['by formula', byFormula],
] as const;

/** Normal equations of a triangle: RᵀR, which is JᵀJ, and Rᵀ(Qᵀr), which is Jᵀr. */
function normalOf({ rows, right }: Triangle) {
  const sum = (j: number, of: (k: number) => number) =>
    rows.reduce((total, row, k) => (k <= j ? total + row[j] * of(k) : total), 0);
  return {
    square: rows.map((_, j) => rows.map((__, i) => sum(j, (k) => (k <= i ? rows[k][i] : 0)))),
    down: rows.map((_, j) => sum(j, (k) => right[k])),
  };
}

function expectNormal(triangle: Triangle, at: readonly number[], digits: number, held?: number) {
  const columns = slopes(at).map((column, j) => (j === held ? column.map(() => 0) : column));
  const rest = decay(at).map((y, i) => observed[i] - y);
  const dot = (a: readonly number[], b: readonly number[]) =>
    a.reduce((total, x, i) => total + x * b[i], 0);
  const { square, down } = normalOf(triangle);
  for (const [j, one] of columns.entries()) {
    expect(down[j]).toBeCloseTo(dot(one, rest), digits);
    for (const [i, two] of columns.entries())
      expect(square[j][i]).toBeCloseTo(dot(one, two), digits);
  }
}

describe.each(ways)('derivatives %s', (_, problemOf) => {
  const start = [5, 0.5];

  test('a place begins with χ², model and residuals of its start', () => {
    const place = new Place(problemOf(), start);
    expect(place.parameters).toEqual(start);
    expect(place.chi).toBeCloseTo(chiOf(start), 12);
    expect([...place.at]).toEqual(decay(start));
    expect([...place.residuals()]).toEqual(decay(start).map((y, i) => observed[i] - y));
  });

  test('a start beyond a bound is brought onto it', () => {
    const place = new Place(problemOf([0, 4], [0.7, 2]), start);
    expect(place.parameters).toEqual([4, 0.7]);
    expect(place.chi).toBeCloseTo(chiOf([4, 0.7]), 12);
  });

  test('the triangle has the normal equations of the Jacobian', () => {
    expectNormal(new Place(problemOf(), start).triangle(false), start, 5);
    const place = new Place(problemOf(), start);
    place.refine();
    expectNormal(place.triangle(false), start, 9);
  });

  test('columns are kept where that is asked for', () => {
    const place = new Place(problemOf(), start);
    const triangle = place.triangle(true);
    expectNormal(triangle, start, 5);
    for (const [j, column] of slopes(start).entries())
      for (const [i, value] of column.entries()) expect(place.columns[j][i]).toBeCloseTo(value, 6);
    expect([...place.residuals()]).toEqual(decay(start).map((y, i) => observed[i] - y));
  });

  test('trying another place changes nothing until it is accepted', () => {
    const place = new Place(problemOf(), start);
    const next = [7, 0.6];
    expect(place.tryOut(next)).toBeCloseTo(chiOf(next), 12);
    expect(place.parameters).toEqual(start);
    expect([...place.at]).toEqual(decay(start));
    expect(place.chi).toBeCloseTo(chiOf(start), 12);
    place.accept(false);
    expect(place.parameters).toEqual(next);
    expect([...place.at]).toEqual(decay(next));
    expect(place.chi).toBeCloseTo(chiOf(next), 12);
    expectNormal(place.triangle(false), next, 5);
  });

  test('of several that were tried the last is accepted, one after the other', () => {
    const place = new Place(problemOf(), start);
    for (const next of [
      [6, 0.9],
      [8, 0.7],
      [8.05, 0.71],
    ]) {
      place.tryOut([1, 1]);
      place.tryOut(next);
      place.accept(false);
      expect(place.chi).toBeCloseTo(chiOf(next), 12);
      expectNormal(place.triangle(true), next, 4);
    }
  });

  test('the final triangle is precise and belongs to the place reached', () => {
    const place = new Place(problemOf(), start);
    place.triangle(false);
    expectNormal(place.finalTriangle(), start, 8);
    place.refine();
    place.triangle(false);
    place.tryOut([8, 0.7]);
    place.accept(false);
    expectNormal(place.finalTriangle(), [8, 0.7], 8);
  });

  test('it is not made anew for a step to a place that is as good as the same', () => {
    const place = new Place(problemOf(), start);
    place.refine();
    const triangle = place.triangle(false);
    expect(place.finalTriangle()).toBe(triangle);
    place.tryOut([5 + 1e-12, 0.5], true);
    place.accept(true);
    expect(place.finalTriangle()).toBe(triangle);
  });
});

describe.each(ways)('bounds, derivatives %s', (_, problemOf) => {
  // From [5, 0.5] downhill is to larger a and, a being held, to smaller b.
  const held = (bounds: readonly (Bound | undefined)[], at: readonly number[]) => {
    const place = new Place(problemOf(...bounds), at);
    place.refine();
    const step = backSubstitute(place.triangle(false));
    return [...step].map((value) => value === 0);
  };

  test('a parameter at its bound does not move when downhill lies beyond', () => {
    const high = held([[0, 5], undefined], [5, 0.5]);
    expect(high).toEqual([true, false]);
    const low = held([[9, 20], undefined], [9, 0.5]);
    expect(low).toEqual([true, false]);
    const second = held([undefined, [0.9, 2]], [9, 0.9]);
    expect(second).toEqual([false, true]);
  });

  test('it moves when downhill lies inside, and everywhere between the bounds', () => {
    expect(held([[5, 20], undefined], [5, 0.5])).toEqual([false, false]);
    expect(held([[0, 9], undefined], [9, 0.5])).toEqual([false, false]);
    expect(held([[4.9, 5.1], undefined], [5, 0.5])).toEqual([false, false]);
  });

  test('where it stands at the bottom it is held', () => {
    // One parameter, y = p t: the best p for (1, 2) is 2, where the slope is zero.
    const line: LeastSquares = {
      observed: Float64Array.of(2, 4),
      model: ([p], out) => out.set([p, 2 * p]),
      both: ([p], out, [column]) => {
        out.set([p, 2 * p]);
        column.set([1, 2]);
      },
      bounds: [[2, 3]],
    };
    for (const bounds of [[[2, 3]], [[1, 2]]] as [Bound][])
      expect(new Place({ ...line, bounds }, [2]).triangle(false).rows[0][0]).toBe(0);
  });

  test('the triangle leaves it out, the final one does not', () => {
    const place = new Place(problemOf([0, 5], undefined), [5, 0.5]);
    place.refine();
    expectNormal(place.triangle(true), [5, 0.5], 8, 0);
    expectNormal(place.finalTriangle(), [5, 0.5], 8);
  });
});

describe('how precise derivatives are', () => {
  test('by differences only after refining, which happens once', () => {
    const place = new Place(byDifferences(), [5, 0.5]);
    expect(place.precise).toBe(false);
    expect([place.refine(), place.precise, place.refine(), place.precise]).toEqual([
      true,
      true,
      false,
      true,
    ]);
  });

  test('by formula from the start', () => {
    const place = new Place(byFormula(), [5, 0.5]);
    expect([place.precise, place.refine()]).toEqual([true, false]);
  });

  test('refined ones agree with the formula to 10 digits', () => {
    const place = new Place(byDifferences(), [5, 0.5]);
    place.refine();
    place.triangle(true);
    for (const [j, column] of slopes([5, 0.5]).entries())
      for (const [i, value] of column.entries()) expect(place.columns[j][i]).toBeCloseTo(value, 9);
  });
});

describe('what a trial costs and tells', () => {
  test('by formula derivatives come along, but not with the last step', () => {
    const place = new Place(byFormula(), [5, 0.5]);
    both.mockClear();
    model.mockClear();
    place.tryOut([6, 0.5]);
    expect([both.mock.calls.length, model.mock.calls.length]).toEqual([1, 0]);
    expect(place.tryOut([7, 0.5], true)).toBeCloseTo(chiOf([7, 0.5]), 12);
    expect([both.mock.calls.length, model.mock.calls.length]).toEqual([1, 1]);
  });

  test('a model that is not a number is infinitely bad', () => {
    const root: LeastSquares = {
      observed: Float64Array.of(1),
      model: ([p], out) => out.set([Math.sqrt(p)]),
      bounds: [],
    };
    const place = new Place(root, [4]);
    expect([place.chi, place.tryOut([-1]), place.tryOut([1])]).toEqual([1, Infinity, 0]);
  });

  test('rounding of the model: the square of 2e-16 of its length', () => {
    const flat: LeastSquares = {
      observed: Float64Array.of(0, 0),
      model: ([p], out) => out.set([3 * p, 4 * p]),
      bounds: [],
    };
    expect(new Place(flat, [10]).rounding()).toBeCloseTo(1e-28, 40);
    expect(new Place(flat, [10]).rounding() / 1e-28).toBeCloseTo(1, 9);
  });
});
