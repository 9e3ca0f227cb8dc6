import fc from 'fast-check';
import { expect, test } from 'vitest';
import { codePointsBefore, indexOfCodePoint } from '../../kernel-lib/page/edit/code-points';

test('an emoji counts as one code point and two places in the string', () => {
  expect(codePointsBefore('🔥.x', 3)).toBe(2);
  expect(indexOfCodePoint('🔥.x', 2)).toBe(3);
});

test('the two are inverse to each other at every code point of any text', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary', maxLength: 30 }), fc.nat(30), (text, n) => {
      const count = Math.min(n, [...text].length);
      expect(codePointsBefore(text, indexOfCodePoint(text, count))).toBe(count);
    }),
    { seed: 6 },
  );
});
