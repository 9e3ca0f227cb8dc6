import { describe, expect, test } from 'vitest';
import {
  checkProfile,
  everyFew,
  type Profile,
  thinned,
  withoutSaturated,
} from '../../kernel-lib/fitting/profile';

const x = Float64Array.of(-1, 0, 2);
const y = Float64Array.of(3, 5, 4);

describe('a profile that can be', () => {
  test('is handed on without a copy', () => {
    const checked = checkProfile({ x, y, u: y });
    expect(checked.x).toBe(x);
    expect(checked.y).toBe(y);
    expect(checked.u).toBe(y);
  });

  test('from plain lists becomes lists of floats', () => {
    const plain = { x: [1, 2], y: [3, 4], u: [0.5, 0.25], saturated: [0, 1] } as never;
    expect(checkProfile(plain)).toEqual({
      x: Float64Array.of(1, 2),
      y: Float64Array.of(3, 4),
      u: Float64Array.of(0.5, 0.25),
      saturated: Uint8Array.of(0, 1),
    });
  });

  test('uncertainty and saturation may be unsaid', () => {
    const { u, saturated } = checkProfile({ x, y });
    expect(u).toBeUndefined();
    expect(saturated).toBeUndefined();
  });
});

describe('a profile that cannot be', () => {
  const refused: [string, Partial<Profile>, RegExp][] = [
    ['y too short', { x, y: y.slice(1) }, /^y has 2 values for 3 positions/],
    ['u too long', { x, y, u: new Float64Array(4) }, /^u has 4 values for 3 positions/],
    [
      'saturated too short',
      { x, y, saturated: new Uint8Array(1) },
      /^saturated has 1 values for 3 positions/,
    ],
    [
      'a position that is no number',
      { x: Float64Array.of(0, Number.NaN, 1), y },
      /^x\[1\] of the profile must be finite, but NaN was given: leave that point out/,
    ],
    [
      'an infinite signal at the first place',
      { x, y: Float64Array.of(Infinity, 5, 4) },
      /^y\[0\] of the profile must be finite, but Infinity/,
    ],
    ['positions that fall', { x: Float64Array.of(0, 2, 1), y }, /x\[2\] = 1 follows 2/],
    ['a position twice', { x: Float64Array.of(2, 2, 3), y }, /x\[1\] = 2 follows 2/],
  ];
  test.each(refused)('%s', (_, bad, sentence) => {
    expect(() => checkProfile(bad as Profile)).toThrow(RangeError);
    expect(() => checkProfile(bad as Profile)).toThrow(sentence);
  });

  test.each([
    ['nothing', undefined],
    ['null', null],
    ['without y', { x }],
    ['without x', { y }],
    ['x a number', { x: 3, y }],
  ])('%s: told what a profile needs', (_, bad) => {
    expect(() => checkProfile(bad as never)).toThrow(TypeError);
    expect(() => checkProfile(bad as never)).toThrow(/A profile needs x .* and y/);
  });
});

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
