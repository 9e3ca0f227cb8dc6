import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { inverseTransform } from '../../../kernel-lib/fitting/picture/jpeg-blocks';
import { inverseByDefinition } from './jpeg-bytes';

describe('the inverse cosine transform agrees with its definition (T.81, A.3.3)', () => {
  const transformed = (block: ArrayLike<number>) => {
    const plane = new Uint8ClampedArray(64);
    inverseTransform(Float32Array.from(block), plane, 0, 8);
    return plane;
  };
  const agree = (block: ArrayLike<number>) => {
    const plane = transformed(block);
    for (let y = 0; y < 8; y++)
      for (let x = 0; x < 8; x++) {
        const level = Math.min(Math.max(inverseByDefinition(block, x, y), 0), 255);
        // Rounded to whole levels; single precision may turn a half the other way.
        expect(Math.abs(plane[8 * y + x] - level)).toBeLessThan(0.501);
      }
  };

  test('each coefficient alone', () => {
    for (let k = 0; k < 64; k++) {
      const block = Array(64).fill(0);
      block[k] = 300;
      agree(block);
    }
  });

  test('blocks of any few coefficients, beyond black and white among them', () => {
    const some = fc.array(fc.tuple(fc.nat(63), fc.integer({ min: -600, max: 600 })), {
      maxLength: 6,
    });
    fc.assert(
      fc.property(some, (list) => {
        const block = Array(64).fill(0);
        for (const [k, value] of list) block[k] = value;
        agree(block);
      }),
      { numRuns: 40 },
    );
  });

  test('one number alone is a flat block: 128 and an eighth of it, cut at black and white', () => {
    for (const [first, level] of [
      [0, 128],
      [80, 138],
      [-800, 28],
      [2000, 255],
      [-2000, 0],
    ]) {
      const block = Array(64).fill(0);
      block[0] = first;
      expect([...transformed(block)]).toEqual(Array(64).fill(level));
    }
  });

  test.each([0, 9])('only its own 64 pixels of a wider plane are written (coefficient %i)', (k) => {
    const block = new Float32Array(64);
    block[k] = 400;
    const alone = transformed(block);
    const plane = new Uint8ClampedArray(24 * 10).fill(7);
    inverseTransform(block, plane, 24 + 8, 24);
    for (let y = 0; y < 10; y++)
      for (let x = 0; x < 24; x++) {
        const inside = y >= 1 && y < 9 && x >= 8 && x < 16;
        expect(plane[24 * y + x]).toBe(inside ? alone[8 * (y - 1) + x - 8] : 7);
      }
  });
});
