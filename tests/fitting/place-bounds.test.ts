import { describe, expect, test } from 'vitest';
import type { Bound } from '../../kernel-lib/fitting/derivatives';
import { backSubstitute } from '../../kernel-lib/fitting/householder';
import { type LeastSquares, Place } from '../../kernel-lib/fitting/levenberg-marquardt';

import { expectNormal, ways } from './decay-problem';

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
