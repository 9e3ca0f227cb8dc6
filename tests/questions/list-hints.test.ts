import { describe, expect, test } from 'vitest';
import { measured } from '../../kernel-lib/quantity/measured';
import { blank, plainAnswer, readAnswer } from '../../kernel-lib/questions/answer';
import { judge, judgePlain } from '../../kernel-lib/questions/judge';
import type { ListQuestion } from '../../kernel-lib/questions/kinds/list';
import type { NumberQuestion } from '../../kernel-lib/questions/kinds/number';

// What is expected here is arithmetic that a reader can do: 90 µm are 0.09 mm and 0.000 09 m, ninety degrees are π/2.
const pair: ListQuestion<object> = {
  kind: 'list',
  id: '3.7',
  asks: 'A pair',
  marks: 4,
  unit: 'um',
  expected: () => [90e-6, 40e-6],
  tolerance: { relative: 0.01 },
  slips: [
    { name: 'bright to dark', value: () => [180e-6, undefined], hint: 'Dark to dark gives it.' },
    { name: 'half band', value: () => [undefined, 20e-6], hint: 'From the centre outward.' },
    { name: 'both rough', value: () => [100e-6, 50e-6], hint: 'Refine them.' },
  ],
};
const said = (answer: unknown, question = pair) => judge(question, {}, answer);

describe('what a list hears of itself', () => {
  test.each([
    [
      'metres',
      [90e-6, 40e-6],
      /They look as if they were meant in m; the question asks for them in µm\.$/,
    ],
    ['millimetres', [0.09, 0.04], /meant in mm; the question asks for them in µm\.$/],
    ['nanometres', [90_000, 40_000], /meant in nm; /],
    ['signs', [-90, -40], /Their sizes are right; look at their signs\.$/],
    ['order', [40, 90], /not in the order that the question states\.$/],
    ['order and unit', [40e-6, 90e-6], /meant in m; .* And they are not in the order/],
    [
      'one in metres',
      [90, 40e-6],
      /Only number 1 of 2 agrees so far\. Number 2 looks as if it were meant in m; the question asks for it in µm\.$/,
    ],
    [
      'one with the wrong sign',
      [-90, 40],
      /Only number 2 of 2 agrees so far\. Number 1 has the right size; look at its sign\.$/,
    ],
  ])('%s', (_what, answer, message) => {
    const verdict = said(answer);
    expect(verdict).toMatchObject({ state: 'not yet', marks: 0 });
    expect(verdict.slip).toBeUndefined();
    expect(verdict.message).toMatch(message);
  });

  test.each<[string, unknown, RegExp]>([
    [
      'no return',
      [1, 2].map((_x) => undefined),
      /^All 2 of your list are undefined\. .*without return/,
    ],
    ['a place too far', [90, [40][1]], /^Number 2 of your list is undefined\. .*count from 0\.$/],
    ['a hole', new Array(2), /^All 2 of your list are undefined\. /],
    ['null', [null, 40], /^Number 1 of your list is null\. /],
    [
      'three of four',
      [undefined, 1, undefined, undefined],
      /^Numbers 1, 3, 4 of your list are undef/,
    ],
  ])('which of it is nothing: %s', (_what, answer, message) => {
    const verdict = said(answer);
    expect(verdict).toMatchObject({ state: 'not yet', marks: 0 });
    expect(verdict.message).toMatch(message);
    const plain = JSON.parse(JSON.stringify(plainAnswer(answer)));
    expect(judgePlain(pair, {}, readAnswer(plain)).message).toBe(verdict.message);
  });

  test('a list is open while something in it is blank and the rest is nothing', () => {
    for (const answer of [[blank, blank], [blank, undefined], []])
      expect(said(answer).state).toBe(answer.length > 0 ? 'open' : 'not yet');
  });

  test('no answer that came as undefined is told as that, and stays open', () => {
    const verdict = said(undefined);
    expect(verdict.state).toBe('open');
    expect(verdict.message).toMatch(/undefined came\. .*return/);
    expect(said(blank).message).toMatch(/in the place of blank/);
  });

  test('a slip of one number is seen whatever the other is', () => {
    expect(said([180, 40])).toMatchObject({ slip: 'bright to dark' });
    expect(said([180, 77])).toMatchObject({
      slip: 'bright to dark',
      message: '180 µm, 77 µm were read. None of them agrees yet. Dark to dark gives it.',
    });
  });

  test('two slips at once get both hints', () => {
    expect(said([180, 20]).message).toMatch(
      /None of them agrees yet\. Dark to dark gives it\. From the centre outward\.$/,
    );
  });

  test('a slip that needs all numbers is not told of some', () => {
    expect(said([100, 50])).toMatchObject({ slip: 'both rough' });
    expect(said([100, 77]).slip).toBeUndefined();
  });

  test('values with uncertainties hear of their unit, too', () => {
    const lines: ListQuestion<object> = {
      ...pair,
      unit: 'nm',
      expected: () => [480e-9, 640e-9],
      uncertainty: () => [0.05e-9, 0.05e-9],
      tolerance: { uncertainties: 2 },
      slips: [],
    };
    const metres = [measured(480e-9, 5e-11), measured(640e-9, 5e-11)];
    expect(said(metres, lines).message).toMatch(/meant in m; the question asks for them in nm/);
    const one: NumberQuestion<object> = {
      ...lines,
      kind: 'number',
      expected: () => 480e-9,
      uncertainty: () => 0.05e-9,
      slips: [],
    };
    expect(judge(one, {}, metres[0]).message).toMatch(
      /It looks as if it were meant in m; the question asks for it in nm/,
    );
  });
});

describe('a number in a unit that was not asked for', () => {
  const question = (unit: string, expected: number): NumberQuestion<object> => ({
    kind: 'number',
    id: '1.1',
    asks: 'x',
    marks: 1,
    unit,
    expected: () => expected,
    tolerance: { relative: 0.01 },
    slips: [],
  });
  test.each([
    ['mm', 12e-3, 1.2, /meant in cm;/],
    ['deg', Math.PI / 2, Math.PI / 2, /meant in rad;/],
    ['deg', Math.PI / 180, 60, /meant in minutes of arc;/],
    ['%', 0.25, 0.25, /meant as a plain number; the question asks for it in percent/],
    ['1', 0.25, 25, /meant in percent; the question asks for it as a plain number/],
  ])('asked in %s', (unit, expected, answer, message) => {
    expect(judge(question(unit, expected), {}, answer).message).toMatch(message);
  });
  test('where nearly nothing is expected, no unit is guessed', () => {
    const small = { ...question('mm', 0.01e-3), tolerance: { absolute: 0.1e-3 } };
    expect(judge(small, {}, 5).message).toMatch(/not within the 0\.1 mm asked for/);
  });
});

describe('a whole number', () => {
  const slits: NumberQuestion<object> = {
    kind: 'number',
    id: '7.5',
    asks: 'How many slits',
    marks: 2,
    unit: '1',
    expected: () => 5,
    tolerance: { whole: true },
    slips: [{ name: 'weak maxima', value: () => 3, hint: 'How many slits make so many?' }],
  };
  test.each([
    [5, 'agrees', '5.'],
    [3, 'not yet', '3 was read. How many slits make so many?'],
    [4, 'not yet', '4 was read. That is not the number yet.'],
    [4.6, 'not yet', '4.6 was read. A whole number is asked for.'],
  ])('%d', (answer, state, message) => {
    expect(judge(slits, {}, answer)).toMatchObject({ state, message });
  });
  test('one that was computed may be off in its last places', () => {
    expect(judge(slits, {}, (0.1 + 0.2) / 0.06)).toMatchObject({ state: 'agrees', marks: 2 });
  });
});

test('a slip in another unit is told both', () => {
  const bar: NumberQuestion<object> = {
    kind: 'number',
    id: '3.4',
    asks: 'x',
    marks: 2,
    unit: 'um',
    expected: () => 80e-6,
    tolerance: { relative: 0.01 },
    slips: [
      { name: 'spacing for bar', value: () => 120e-6, hint: 'The bar is what lies between.' },
    ],
  };
  expect(judge(bar, {}, 120e-6)).toMatchObject({
    state: 'not yet',
    slip: 'spacing for bar',
    message:
      '0.00012 µm was read. It looks as if it were meant in m; the question asks for it in µm. And beside that: The bar is what lies between.',
  });
  expect(judge(bar, {}, 120)).toMatchObject({
    message: '120 µm was read. The bar is what lies between.',
  });
  expect(judge(bar, {}, 0).slip).toBeUndefined();
});
