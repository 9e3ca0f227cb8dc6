import { describe, expect, test } from 'vitest';
import { checkProfile, type Profile } from '../../kernel-lib/fitting/profile';

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
