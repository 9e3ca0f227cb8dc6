import { describe, expect, test } from 'vitest';
import { everyFew, thinned, withoutSaturated } from '../../../kernel-lib/fitting/profile';

const floats = (...values: number[]) => Float64Array.from(values);
const list = (values: Float64Array | undefined) => values && Array.from(values);
const rising = (count: number) => Float64Array.from({ length: count }, (_, i) => i);

describe('without the saturated points', () => {
  const x = floats(1, 2, 3, 4);
  const y = floats(5, 9, 9, 6);
  const u = floats(0.1, 0.2, 0.3, 0.4);
  const saturated = Uint8Array.of(0, 1, 1, 0);

  test('each of the others keeps its position, signal and uncertainty', () => {
    const left = withoutSaturated({ x, y, u, saturated });
    expect(list(left.x)).toEqual([1, 4]);
    expect(list(left.y)).toEqual([5, 6]);
    expect(list(left.u)).toEqual([0.1, 0.4]);
    expect(left.saturated).toBeUndefined();
  });

  test('an unknown uncertainty stays unknown', () => {
    expect(withoutSaturated({ x, y, saturated }).u).toBeUndefined();
  });

  test('a profile of which nothing is saturated, or said to be, is handed on', () => {
    const unsaid = { x, y, u };
    expect(withoutSaturated(unsaid)).toBe(unsaid);
    const none = { x, y, saturated: new Uint8Array(4) };
    expect(withoutSaturated(none)).toBe(none);
  });

  test('when all are saturated, nothing can be fitted', () => {
    const all = { x, y, saturated: Uint8Array.of(1, 1, 1, 1) };
    expect(() => withoutSaturated(all)).toThrow(RangeError);
    expect(() => withoutSaturated(all)).toThrow(/All 4 points of the profile are saturated/);
  });
});

describe('means of neighbours', () => {
  test('pairs: mean position and signal, the odd last point left out', () => {
    const pairs = thinned({ x: floats(0, 2, 10, 14, 50), y: floats(1, 3, 5, 6, 100) }, 3);
    expect(list(pairs.x)).toEqual([1, 12]);
    expect(list(pairs.y)).toEqual([2, 5.5]);
    expect(pairs.u).toBeUndefined();
  });

  test('the uncertainty of a mean: root of the summed squares over how many', () => {
    const x = rising(6);
    const { u } = thinned({ x, y: x, u: floats(3, 4, 12, 5, 12, 0) }, 2);
    expect(list(u)).toEqual([expect.closeTo(13 / 3, 12), expect.closeTo(13 / 3, 12)]);
  });

  test('as many points as asked for at most: as they are', () => {
    const x = rising(600);
    const same = thinned({ x, y: x, u: x, saturated: new Uint8Array(600) });
    expect(same.x).toBe(x);
    expect(same.u).toBe(x);
    expect(same).not.toHaveProperty('saturated');
    expect(thinned({ x: rising(601), y: rising(601) }).x).toHaveLength(300);
  });
});

describe('every few points', () => {
  test('evenly taken, beginning with the first', () => {
    const x = rising(7);
    const few = everyFew({ x, y: x.map((v) => -v), u: x.map((v) => v + 1) }, 3);
    expect(list(few.x)).toEqual([0, 2, 4, 6]);
    expect(list(few.y)).toEqual([-0, -2, -4, -6]);
    expect(list(few.u)).toEqual([1, 3, 5, 7]);
    expect(everyFew({ x, y: x }, 3).u).toBeUndefined();
  });

  test('all of them when there are fewer than asked for', () => {
    const x = rising(3);
    expect(list(everyFew({ x, y: x }, 10).x)).toEqual([0, 1, 2]);
  });
});
