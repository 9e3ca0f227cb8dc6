import { describe, expect, test } from 'vitest';
import { type LeastSquares, Place } from '../../kernel-lib/fitting/levenberg-marquardt';

import {
  both,
  byDifferences,
  byFormula,
  chiOf,
  decay,
  expectNormal,
  model,
  observed,
  slopes,
  ways,
} from './decay-problem';

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
