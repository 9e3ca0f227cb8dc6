import { describe, expect, test } from 'vitest';
import { unit } from '../../kernel-lib/quantity/unit';
import { blank, type PlainNumber } from '../../kernel-lib/questions/answer';
import { judge, judgePlain } from '../../kernel-lib/questions/judge';
import type { FunctionQuestion } from '../../kernel-lib/questions/kinds/function';
import type { ListQuestion } from '../../kernel-lib/questions/kinds/list';
import type { WordQuestion } from '../../kernel-lib/questions/kinds/word';
import { openForms, type SealedQuestion } from '../../kernel-lib/questions/sheet';
import { sampleKey, sampleSheet } from './sample-sheet';

describe('a list', () => {
  const question: ListQuestion<object> = {
    kind: 'list',
    id: '2.2',
    asks: 'Minima',
    marks: 3,
    unit: 'mm',
    expected: () => [1e-3, 2e-3, 3e-3],
    tolerance: { relative: 0.01 },
    slips: [{ name: 'doubled', value: () => [2e-3, 4e-3, 6e-3], hint: 'Side to side?' }],
  };
  const judged = (answer: unknown) => judge(question, {}, answer);

  test.each([
    ['numbers in the stated unit', [1, 2, 3]],
    ['typed quantities among them', [unit('0.1 cm'), 2, unit('3 mm')]],
    ['a typed array', new Float64Array([1, 2, 3])],
  ])('%s agree', (_name, answer) => {
    expect(judged(answer)).toMatchObject({ state: 'agrees', marks: 3, shown: '1 mm, 2 mm, 3 mm' });
  });

  test.each([
    ['too short', [1, 2], /A list of 3 numbers is asked for; yours has 2/],
    ['not a list', 1, /A list of 3 numbers is asked for, in mm.*this is a number/],
    ['a bad item', [1, '2', 3], /Number 2 of your list: '2' is text in quotes/],
    ['a hole', Object.assign(new Array(3), { 0: 1, 2: 3 }), /Number 2 of your list is undefined/],
    ['partly blank', [1, blank, 3], /Number 2 of your list is still blank/],
    ['the wrong order', [3, 2, 1], /not in the order that the question states/],
    ['partly right', [1, 2, 7], /Only numbers 1, 2 of 3 agree so far/],
    ['one right', [1, 8, 7], /Only number 1 of 3 agrees so far/],
    ['nothing right', [7, 8, 9], /None of them agrees yet/],
    ['a slip', [2, 4, 6], /2 mm, 4 mm, 6 mm were read\. Side to side\?/],
  ])('%s', (_name, answer, message) => {
    const verdict = judged(answer);
    expect(verdict.state).toBe('not yet');
    expect(verdict.message).toMatch(message);
  });

  test('a list of only blanks is an answer not yet given', () => {
    expect(judged([blank, blank, blank]).message).toMatch(/There is no answer yet/);
  });

  test('where 0 is expected, the tolerance is that of the largest', () => {
    const withZero = { ...question, expected: () => [0, 2e-3, 3e-3], slips: [] };
    expect(judge(withZero, {}, [0.02, 2, 3]).state).toBe('agrees');
    expect(judge(withZero, {}, [0.04, 2, 3]).state).toBe('not yet');
  });
});

describe('a function', () => {
  const question: FunctionQuestion<object> = {
    kind: 'function',
    id: '2.3',
    asks: 'Intensity',
    marks: 3,
    signature: '(s: number) => number',
    points: () => [[0], [0.5], [1.5]],
    expected: (_given, s) => Math.cos(s) ** 2,
    tolerance: { relative: 1e-6 },
    slips: [{ name: 'amplitude', value: () => Math.cos, hint: 'That is the amplitude.' }],
  };
  const judged = (answer: unknown) => judge(question, {}, answer);

  test('agrees when it does at every point', () => {
    expect(judged((s: number) => Math.cos(s) ** 2)).toMatchObject({ state: 'agrees', marks: 3 });
    expect(judged((s: number) => Math.cos(s) ** 2 + 5e-7).state).toBe('agrees');
    expect(judged((s: number) => Math.cos(s) ** 2 + 2e-6).state).toBe('not yet');
  });

  test('a slip is recognised by all its values', () => {
    expect(judged(Math.cos)).toMatchObject({
      slip: 'amplitude',
      message: 'That is the amplitude.',
    });
  });

  test.each([
    ['its value', 0.5, /Hand in the function itself, not its value/],
    ['text', 'cos', /A function \(s: number\) => number is asked for; this is not a function/],
    ['too many arguments', (a: number, b: number) => a + b, /takes 2 arguments, .* called with 1/],
    ['it returns NaN', (s: number) => Math.sin(s) / s, /At 0 your function returns NaN/],
    ['it is async', async () => 1, /a promise\. Take away async/],
    [
      'it throws',
      () => (undefined as never as number[])[0],
      /At 0 your function stops with an error/,
    ],
    ['a class', class {}, /stops with an error/],
    ['wrong everywhere', () => 7, /agrees at none of the 3 points.* At 0 it gives 7\.$/],
    ['NaN everywhere, by a formula', (s: number) => Math.asin(s + 2), /At 0 .* NaN.* arcsine of m/],
    [
      'wrong somewhere',
      (s: number) => (s > 1 ? 7 : Math.cos(s) ** 2),
      /agrees at 2 of the 3 points/,
    ],
  ])('%s', (_name, answer, message) => {
    const verdict = judged(answer);
    expect(verdict).toMatchObject({ state: 'not yet', marks: 0 });
    expect(verdict.message).toMatch(message);
  });

  test('that is the skeleton still leaves the question open', () => {
    expect(judged(() => Number.NaN)).toMatchObject({
      state: 'open',
      marks: 0,
      message: expect.stringMatching(/no answer yet: your function returns NaN everywhere/),
    });
  });

  test('within its tolerance it says which, and what was tried', () => {
    const x: FunctionQuestion<object> = {
      ...question,
      points: () => [[1], [2]],
      expected: (_given, at) => at,
      tolerance: { absolute: 0.5 },
      slips: [],
    };
    const shown = 'a function, tried at 2 points';
    const message = 'Tried at 2 points, within 0.5.';
    expect(judge(x, {}, (at: number) => at + 0.5)).toMatchObject({
      state: 'agrees',
      shown,
      message,
    });
    expect(judge(x, {}, (at: number) => at + 0.6)).toMatchObject({ state: 'not yet', shown });
    const relative = { ...x, tolerance: { relative: 0.1 } };
    expect(judge(relative, {}, (at: number) => at + 0.2).message).toBe(
      'Tried at 2 points, within 10 % of the largest value.',
    );
    expect(judge(relative, {}, (at: number) => at + 0.21).state).toBe('not yet');
  });

  test('samples taken elsewhere are judged like the function itself', () => {
    const samples = [0, 0.5, 1.5].map((s) => Math.cos(s) ** 2);
    const judgedBy = (values: PlainNumber[]) => judgePlain(question, {}, { is: 'samples', values });
    expect(judgedBy(samples).state).toBe('agrees');
    expect(judgedBy(samples.slice(1)).message).toMatch(/values at 2 of 3 points/);
    expect(judgedBy([1, 'NaN', 1]).message).toMatch(/At 0\.5 .* NaN/);
  });
});

describe('a word', () => {
  const question: WordQuestion<object> = {
    kind: 'word',
    id: '2.4',
    asks: 'Colour',
    marks: 1,
    accepts: () => ['purple', 'blue-green'],
    slips: [{ name: 'sky', words: ['blue'], hint: 'Something is mixed in.' }],
  };
  const judged = (answer: unknown) => judge(question, {}, answer);

  test.each([
    ...['purple', 'Purple', ' PURPLE. ', 'blue green', 'Blue–Green', '"purple"', 'blue   green'],
    ...['blue - green', 'blue_green', '" blue green "', '“Blue‐green.”', 'ｂｌｕｅ green'],
  ])('%s agrees', (word) => expect(judged(word)).toMatchObject({ state: 'agrees', marks: 1 }));

  test('the verdict shows the word as it was typed, without the spaces around it', () => {
    expect(judged('  Blue green ')).toMatchObject({
      shown: '“Blue green”',
      message: '“Blue green”.',
    });
    expect(judged(' red ').shown).toBe('“red”');
  });

  test('slips, other words and other things', () => {
    expect(judged('Blue')).toMatchObject({
      slip: 'sky',
      message: '“Blue” was read. Something is mixed in.',
    });
    for (const other of ['bluegreenish', 'bluegreen', 'green', 'x'.repeat(80)])
      expect(judged(other).message).toMatch(/That is not it yet/);
    expect(judged(5).message).toMatch(/A word in quotes is asked for.*this is a number/);
    expect(judged('x'.repeat(81)).message).toMatch(/longer than 80/);
    expect(judged('  ').message).toMatch(/There is no answer yet/);
  });
});

describe('a sealed question', () => {
  const sealed = (more: Partial<SealedQuestion>): SealedQuestion => ({
    kind: 'sealed',
    id: '2.5',
    asks: 'Width',
    marks: 4,
    answer: 'number',
    ...more,
  });

  test('records what was read, whatever its value', () => {
    expect(judge(sealed({ unit: 'mm' }), {}, 1e6)).toMatchObject({
      state: 'recorded',
      marks: 0,
      outOf: 4,
    });
    expect(judge(sealed({ unit: 'deg' }), {}, unit('30 arcmin')).shown).toBe('0.5° (0° 30′ 00″)');
    expect(judge(sealed({ answer: 'list', unit: 'mm', length: 2 }), {}, [1, 2]).shown).toBe(
      '1 mm, 2 mm',
    );
    expect(judge(sealed({ answer: 'word' }), {}, 'purple').shown).toBe('“purple”');
    expect(judge(sealed({ answer: 'function' }), {}, () => 1).state).toBe('recorded');
  });

  test('a number without a unit is a plain number; a function says which', () => {
    expect(judge(sealed({}), {}, 0.25).shown).toBe('0.25');
    expect(judge(sealed({ answer: 'function' }), {}, Math.sin).shown).toBe('a function');
    expect(judge(sealed({ answer: 'function' }), {}, 3).message).toBe(
      'A function is asked for; this is a number.',
    );
  });

  test('the shape is looked at at once', () => {
    expect(judge(sealed({ unit: 'mm' }), {}, unit('3 deg')).message).toMatch(
      /is an angle, but a length/,
    );
    expect(judge(sealed({ unit: 'mm' }), {}, Number.NaN).state).toBe('not yet');
    expect(judge(sealed({ answer: 'list', unit: 'mm', length: 2 }), {}, [1]).message).toMatch(
      /yours has 1/,
    );
    expect(judge(sealed({ answer: 'word' }), {}, 3).state).toBe('not yet');
    expect(
      judge(sealed({ answer: 'function', signature: '(s: number) => number' }), {}, 3).message,
    ).toMatch(/A function \(s: number\) => number is asked for; this is a number/);
    expect(judge(sealed({ unit: 'mm' }), {}, blank).message).toMatch(/There is no answer yet/);
  });
});

test('a written question is read by a person', () => {
  const verdict = judge({ kind: 'written', id: '2.6', asks: 'Explain', marks: 4 }, {}, 'because');
  expect(verdict).toMatchObject({ state: 'recorded', marks: 0, outOf: 4 });
});

test('the open forms of a sheet: its own, and the key’s for what is sealed; nothing that is written', () => {
  const forms = openForms(sampleKey);
  expect(forms.map(({ id }) => id)).toEqual(['2.1', '2.2', '2.3', '2.4', '2.5']);
  expect(forms.slice(0, 4)).toEqual(sampleSheet.questions.slice(0, 4));
  expect(forms[4]).toBe(sampleKey.sealed['2.5']);
});
