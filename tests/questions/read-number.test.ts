import { describe, expect, test } from 'vitest';
import { unit } from '../../kernel-lib/quantity/unit';
import { plainAnswer } from '../../kernel-lib/questions/answer';
import { isProblem } from '../../kernel-lib/questions/kinds/kind';
import { readNumber, saidUnit } from '../../kernel-lib/questions/kinds/number';

const read = (answer: unknown, name: string) => readNumber(plainAnswer(answer), name);
const problem = (answer: unknown, name = 'mm') => {
  const found = read(answer, name);
  return isProblem(found) ? found.problem : undefined;
};
const inMillimetres =
  "The question asks for a number in mm, or one with its unit such as unit('1.5 mm').";

describe('what is asked for is said with what was read', () => {
  test('a unit, and how to write it', () => {
    expect(problem({})).toBe(`This is an object, not a number. ${inMillimetres}`);
    expect(problem(() => 1)).toBe(
      `This is a function, not a number. Call it, or hand in its result. ${inMillimetres}`,
    );
    expect(problem([1])).toBe(
      `A list of one was handed in; leave the brackets out. ${inMillimetres}`,
    );
  });

  test('plain numbers and percentages have no unit to write', () => {
    expect(problem({}, '1')).toMatch(/\. The question asks for a number as a plain number\.$/);
    expect(problem({}, '%')).toMatch(/\. The question asks for a number in percent\.$/);
  });

  test.each([
    ['deg', 'in degrees'],
    ['arcmin', 'in minutes of arc'],
    ['arcsec', 'in seconds of arc'],
    ['um', 'in µm'],
    ['1', 'as a plain number'],
  ])('%s is said %s', (name, said) => expect(saidUnit(name)).toBe(said));
});

describe('text in quotes', () => {
  const said = (text: string) => `'${text}' is text in quotes, not a number.`;

  test.each(['0,32', '0 ,32', '0, 32', '1 , 2'])('%s has a decimal comma', (text) =>
    expect(problem(text)).toMatch(/^'.*' is text.*decimals with a point/),
  );

  test.each(['a,3', '3,b', 'one, two'])('%s has none', (text) =>
    expect(problem(text)).not.toMatch(/decimals with a point/),
  );

  test.each(['7', '0.32', ' −3e-4', '12 apples'])('%s is a number but for its quotes', (text) =>
    expect(problem(text)).toBe(`${said(text)} Leave the quotes out. ${inMillimetres}`),
  );

  test.each(['x 3', 'about 0.3'])('%s is words', (text) =>
    expect(problem(text)).toBe(`${said(text)} ${inMillimetres}`),
  );

  test.each(['3 mm', '3mm', ' 3  mm  '])('%s is told how to write its unit', (text) =>
    expect(problem(text)).toBe(`${said(text)} With a unit, write unit('3 mm').`),
  );

  test('of a long one the first 40 characters are shown', () => {
    expect(problem('z'.repeat(500))).toBe(`${said('z'.repeat(40))} ${inMillimetres}`);
  });
});

describe('typed quantities', () => {
  test.each([
    ['2 cm', 'mm', 0.02],
    ['-2 cm', 'mm', -0.02],
    ['90 deg', 'arcmin', Math.PI / 2],
    ['5 /mm', '1/mm', 5000],
    ['3 m/s', 'm/s', 3],
  ])('%s for a question in %s is read in SI', (text, name, value) => {
    const found = read(unit(text), name);
    expect(isProblem(found) ? found.problem : found.value).toBeCloseTo(value, 12);
  });

  test.each(['mm', 'm^2'])('%s alone is a unit without a number, of whatever kind', (text) =>
    expect(problem(unit(text))).toBe(`${text} is a unit without a number. ${inMillimetres}`),
  );

  test('of the wrong kind they are told both kinds', () => {
    expect(problem(unit('3 deg'))).toBe(
      `3 deg is an angle, but a length is asked for. ${inMillimetres}`,
    );
  });
});

test('a measured value keeps its uncertainty, in SI and positive', () => {
  expect(read({ value: 2, u: 0.5 }, 'mm')).toEqual({ value: 2e-3, u: 5e-4 });
  expect(read({ value: 2, u: -0.5 }, 'mm')).toEqual({ value: 2e-3, u: 5e-4 });
  expect(problem({ value: 2, u: Number.POSITIVE_INFINITY })).toMatch(/not a finite number/);
  expect(problem({ value: Number.NaN, u: 0.5 })).toMatch(/NaN/);
});
