import { expect, test } from 'vitest';
import { codesWith } from '../../kernel-lib/marker/written-by-hand';

const { of, isOurs, formerly } = codesWith('a secret');
const many = Array.from({ length: 20_000 }, (_, i) => of(`02-one-slit ${i}`, '2.9'));

test('codes differ, and no spreadsheet takes one for a number, a day, a formula or a power of ten', () => {
  expect(new Set(many).size).toBe(many.length);
  for (const code of many) expect(code).toMatch(/^w[2-9b-df-hj-np-tv-z]{9}$/);
  expect(many.some((code) => Number.isFinite(Number(code)))).toBe(false);
  // One in about 60 of the codes of earlier versions was all digits, or digits and one e.
  const old = many.map((_, i) => formerly(`02-one-slit ${i}`));
  expect(old.filter((code) => Number.isFinite(Number(code))).length).toBeGreaterThan(200);
});

test('a code of this folder is known, one of another folder or with one sign mistyped is not', () => {
  const sample = many.slice(0, 500);
  expect(sample.every(isOurs)).toBe(true);
  const other = codesWith('another secret');
  expect(sample.filter(other.isOurs).length).toBeLessThan(10);
  const mistyped = sample.map((code) =>
    code.replace(/.(?=.$)/, (sign) => (sign === 'b' ? 'c' : 'b')),
  );
  expect(mistyped.filter(isOurs)).toEqual([]);
  for (const code of ['', 'w', '1.23E+45', 'W'.repeat(99)]) expect(isOurs(code)).toBe(false);
});
