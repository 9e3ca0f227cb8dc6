import { expect, test } from 'vitest';
import { codePointsBefore, indexOfCodePoint } from '../../kernel-lib/page/net/desk-kernel';

test('a place in the string and its place in code points are inverse to each other', () => {
  for (const text of ['', 'ab', '🔥.x', 'é𝑥🔥🔥', '\ud83d']) {
    // The string's own iterator goes by code points.
    let index = 0;
    [...text].forEach((point, count) => {
      expect(codePointsBefore(text, index)).toBe(count);
      expect(indexOfCodePoint(text, count)).toBe(index);
      index += point.length;
    });
    expect(indexOfCodePoint(text, [...text].length + 5)).toBe(text.length);
  }
  expect(codePointsBefore('🔥.x', 3)).toBe(2);
});
