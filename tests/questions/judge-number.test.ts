import { describe, expect, test } from 'vitest';
import { measured } from '../../kernel-lib/quantity/measured';
import { arcminutes, degrees, mm, nm } from '../../kernel-lib/quantity/si';
import { unit } from '../../kernel-lib/quantity/unit';
import { judge } from '../../kernel-lib/questions/judge';
import type { NumberQuestion } from '../../kernel-lib/questions/kinds/number';

const question = (more: Partial<NumberQuestion<object>> = {}): NumberQuestion<object> => ({
  kind: 'number',
  id: '2.1',
  asks: 'First minimum',
  marks: 2,
  unit: 'deg',
  expected: () => degrees(0.787),
  tolerance: { relative: 0.005 },
  slips: [
    { name: 'twice', value: () => degrees(2 * 0.787), hint: 'Both sides were taken.' },
    { name: 'near twice', value: () => degrees(2 * 0.787 * 1.006), hint: 'Something else.' },
    {
      name: 'other',
      value: () => degrees(10),
      hint: (_given, shown) => `${shown} is another angle.`,
    },
    { name: 'impossible', value: () => Number.NaN, hint: 'Never.' },
  ],
  ...more,
});
const judged = (answer: unknown, more: Partial<NumberQuestion<object>> = {}) =>
  judge(question(more), {}, answer);

describe('right answers', () => {
  test.each([
    ['a number in the stated unit', 0.787],
    ['within the tolerance', 0.7901],
    ['a typed quantity', unit('0.787 deg')],
    ['in another unit of the same kind', unit('47.22 arcmin')],
  ])('%s', (_name, answer) => {
    const verdict = judged(answer);
    expect(verdict).toMatchObject({ question: '2.1', state: 'agrees', marks: 2, outOf: 2 });
    expect(verdict.message).toMatch(/^0\.7\d+° \(0° 47′ \d\d″\), within the 0\.5 % asked for\.$/);
  });

  test('the edge of the tolerance counts', () => {
    expect(
      judged(105, { unit: '1', expected: () => 100, tolerance: { relative: 0.05 } }).state,
    ).toBe('agrees');
    expect(
      judged(0.3, { unit: '1', expected: () => 0.1, tolerance: { absolute: 0.2 } }).state,
    ).toBe('agrees');
    expect(
      judged(105.001, { unit: '1', expected: () => 100, tolerance: { relative: 0.05 } }).state,
    ).toBe('not yet');
  });

  test('an uncertainty that is not asked for does no harm', () => {
    const verdict = judged(measured(0.787, 0.004));
    expect(verdict.state).toBe('agrees');
    expect(verdict.message).toContain('0.787(4)°');
    expect(verdict.message).toContain('Its uncertainty is not asked for here.');
  });
});

describe('slips', () => {
  test('the nearest one wins, by its own name and hint', () => {
    expect(judged(2 * 0.787)).toMatchObject({ state: 'not yet', marks: 0, slip: 'twice' });
    expect(judged(2 * 0.787 * 1.006)).toMatchObject({ slip: 'near twice' });
    expect(judged(2 * 0.787).message).toBe('1.574° (1° 34′ 26″) was read. Both sides were taken.');
    expect(judged(10).message).toBe('10° (10° 00′ 00″) is another angle.');
  });

  test('never when the value agrees', () => {
    const slips = [{ name: 'close', value: () => degrees(0.788), hint: 'Close.' }];
    expect(judged(0.788, { slips })).not.toHaveProperty('slip');
  });

  test('a value handed in as SI, or with the wrong sign, is told in general', () => {
    expect(judged(degrees(0.787)).message).toMatch(/as if it were meant in rad; .* in degrees/);
    expect(judged(-0.787).message).toMatch(/look at its sign/);
    const inMetres = { unit: 'mm', expected: () => mm(4.62), slips: [] };
    expect(judged(mm(4.62), inMetres).message).toMatch(/meant in m; .* in mm/);
  });

  test('anything else says only what was read and what is asked for', () => {
    expect(judged(33).message).toBe(
      '33° (33° 00′ 00″) was read. That is not within the 0.5 % asked for.',
    );
  });
});

describe('what cannot be read gets a sentence that helps', () => {
  test.each([
    ['text with a unit', '0.32 deg', /text in quotes.*write unit\('0.32 deg'\)/],
    ['text with a decimal comma', '0,32', /decimals with a point/],
    ['a number in quotes', '0.32', /Leave the quotes out/],
    ['other text', 'small', /'small' is text in quotes/],
    ['NaN', Number.NaN, /NaN, "not a number"/],
    ['infinity', Number.POSITIVE_INFINITY, /divided by zero/],
    ['a length for an angle', unit('3 mm'), /3 mm is a length, but an angle is asked for/],
    ['a quotient for an angle', unit('3 /mm'), /a number per length, but an angle/],
    ['a mass', unit('3 kg'), /a quantity of another kind/],
    ['a list', [0.787, 1], /This is a list of 2, not a number/],
    ['a list of one', [0.787], /leave the brackets out/],
    ['a function', () => 0.787, /a function, not a number\. Call it/],
    ['an object', {}, /This is an object/],
    ['true', true, /the word true/],
    ['a bigint', 5n, /ends in n/],
    ['a promise', Promise.resolve(1), /put await before it/],
    ['a symbol', Symbol('x'), /a symbol/],
    ['NaN with an uncertainty', { value: Number.NaN, u: 1 }, /NaN/],
    ['a broken uncertainty', { value: 1, u: Number.NaN }, /uncertainty of your value is not/],
  ])('%s', (_name, answer, message) => {
    const verdict = judged(answer);
    expect(verdict).toMatchObject({ state: 'not yet', marks: 0 });
    expect(verdict.message).toMatch(message);
  });

  test('a dimensionless question takes no unit', () => {
    const plain = { unit: '1', expected: () => 0.25, slips: [] };
    expect(judged(unit('3 mm'), plain).message).toMatch(
      /is a length, but a plain number is asked for/,
    );
    expect(judged(unit('1 mm').divide(unit('4 mm')), plain).state).toBe('agrees');
  });
});

describe('a tolerance in uncertainties', () => {
  const inUncertainties = {
    unit: 'nm',
    expected: () => nm(589.3),
    tolerance: { uncertainties: 2 },
    uncertainty: () => nm(0.4),
    slips: [{ name: 'other line', value: () => nm(546.1), hint: 'Another line.' }],
  } as const;

  test('takes the value within that many of its own uncertainties', () => {
    expect(judged(measured(589.9, 0.4), inUncertainties)).toMatchObject({ state: 'agrees' });
    expect(judged(measured(590.2, 0.4), inUncertainties)).toMatchObject({ state: 'not yet' });
    expect(judged({ value: 589.1, u: 0.3 }, inUncertainties).message).toMatch(
      /^589\.1\(3\) nm, within the 2 standard uncertainties asked for/,
    );
    expect(judged(measured(546.2, 0.4), inUncertainties)).toMatchObject({ slip: 'other line' });
  });

  test('asks for the uncertainty when it is missing', () => {
    for (const answer of [589.3, unit('589.3 nm'), measured(589.3, 0)])
      expect(judged(answer, inUncertainties).message).toMatch(
        /without an uncertainty.*measured\(value, u\)/,
      );
  });

  test('an uncertainty off by more than a factor of 2 does not count', () => {
    expect(judged(measured(589.3, 0.9), inUncertainties).message).toMatch(
      /larger than your readings deserve/,
    );
    expect(judged(measured(589.3, 0.1), inUncertainties).message).toMatch(
      /smaller than your readings can carry/,
    );
    expect(judged(measured(600, 1e6), inUncertainties).state).toBe('not yet');
  });

  test('a question may ask for a nearer one, so that a forgotten √2 is seen', () => {
    const nearer = { ...inUncertainties, uncertaintyWithin: 1.2 };
    for (const u of [0.34, 0.4, 0.47])
      expect(judged(measured(589.3, u), nearer).state).toBe('agrees');
    expect(judged(measured(589.3, 0.4 * Math.SQRT2), nearer).message).toMatch(/larger than/);
    expect(judged(measured(589.3, 0.4 / Math.SQRT2), nearer).message).toMatch(/smaller than/);
    expect(judged(measured(589.3, 0.4 * Math.SQRT2), inUncertainties).state).toBe('agrees');
  });
});

test('the units that sheets use are read and shown', () => {
  for (const [name, value, shown] of [
    ['arcmin', arcminutes(12.3), '12.3′'],
    ['um', 40e-6, '40 µm'],
    ['%', 0.903, '90.3 %'],
    ['1/mm', 600e3, '600 1/mm'],
    ['mrad', 0.01375, '13.75 mrad'],
  ] as const) {
    const verdict = judged(Number.parseFloat(shown), {
      unit: name,
      expected: () => value,
      slips: [],
    });
    expect(verdict).toMatchObject({ state: 'agrees', shown });
  }
});
