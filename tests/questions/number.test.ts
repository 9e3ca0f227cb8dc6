import { describe, expect, test } from 'vitest';
import { measured } from '../../kernel-lib/quantity/measured';
import { arcminutes, degrees, mm, nm } from '../../kernel-lib/quantity/si';
import { unit } from '../../kernel-lib/quantity/unit';
import { plainAnswer } from '../../kernel-lib/questions/answer';
import { judge } from '../../kernel-lib/questions/judge';
import { isProblem } from '../../kernel-lib/questions/kinds/kind';
import { type NumberQuestion, readNumber, saidUnit } from '../../kernel-lib/questions/kinds/number';

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

// um(x) of what is in metres already: 40 µm = 40e-6 m, and um(40e-6) = 40e-12.
test.each([
  ['um', 40e-6, 40e-12, 'um(1)'],
  ['mm', 0.0121, 0.0121e-3, 'mm(1)'],
  ['deg', Math.PI / 6, (Math.PI / 6) * (Math.PI / 180), 'degrees(1)'],
])('a value in SI that was made one again, asked for in %s', (unit, expected, answer, by) => {
  const { state, message } = judged(answer, { unit, expected: () => expected, slips: [] });
  expect(state).toBe('not yet');
  expect(message).toContain(`already. To have it in`);
  expect(message).toContain(`divide by ${by}.`);
});

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
    ['NaN', Number.NaN, /NaN, "not a number"/],
    ['infinity', Number.POSITIVE_INFINITY, /divided by zero/],
    ['a length for an angle', unit('3 mm'), /3 mm is a length, but an angle is asked for/],
    ['a quotient for an angle', unit('3 /mm'), /a number per length, but an angle/],
    ['a mass', unit('3 kg'), /a quantity of another kind/],
    ['a list', [0.787, 1], /This is a list of 2, not a number/],
    ['true', true, /the word true/],
    ['a bigint', 5n, /ends in n/],
    ['a promise', Promise.resolve(1), /put await before it/],
    ['a symbol', Symbol('x'), /a symbol/],
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

test('what is out of all proportion is told so, with what may have been forgotten', () => {
  // 2 mm over 4 mm times 5 mm is 2.5 mm, and over both of them 100 /m.
  const length = { unit: 'm', expected: () => 100, slips: [] };
  expect(judged(0.0025, length).message).toMatch(/thousand times too small\. .*a \/ \(b \* c\)/);
  expect(judged(2e9, { ...length, unit: '1' }).message).toMatch(/thousand times too large/);
  expect(judged(50, { ...length, unit: '1' }).message).not.toMatch(/thousand/);
  expect(judged(0, length).message).not.toMatch(/thousand/);
});

test('value and uncertainty that have changed places are told apart', () => {
  const spacing: Partial<NumberQuestion<object>> = {
    unit: 'nm',
    expected: () => nm(1650),
    uncertainty: () => nm(0.07),
    tolerance: { uncertainties: 2 },
    slips: [],
  };
  expect(judged(measured(0.07, 1650), spacing).message).toMatch(/changed places/);
  expect(judged(measured(1650, 0.07), spacing).state).toBe('agrees');
  expect(judged([1650, 0.07], spacing).message).toMatch(/go together as measured/);
});

test('an angle in degrees and minutes, typed as text, is shown in code', () => {
  expect(judged('12° 34′').message).toContain('degrees(12, 34) / degrees(1)');
  expect(judged("12°34'").message).toContain('degrees(12, 34) / degrees(1)');
});
