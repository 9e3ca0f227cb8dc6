import { describe, expect, test } from 'vitest';
import { mm } from '../../kernel-lib/quantity/si';
import type { FunctionQuestion } from '../../kernel-lib/questions/kinds/function';
import type { ListQuestion } from '../../kernel-lib/questions/kinds/list';
import type { NumberQuestion } from '../../kernel-lib/questions/kinds/number';
import type { WordQuestion } from '../../kernel-lib/questions/kinds/word';
import { proveQuestion } from '../../kernel-lib/questions/prove-question';
import type { AnyOpenQuestion } from '../../kernel-lib/questions/sheet';

/** What a proof finds in one question, kind by kind. Eleven odd answers are always tried. */
const odd = 11;
const common = { asks: 'Width', marks: 1, unit: 'mm', tolerance: { relative: 0.01 }, slips: [] };
const number: NumberQuestion<object> = {
  ...common,
  kind: 'number',
  id: '1.1',
  expected: () => mm(1.2),
};
const list: ListQuestion<object> = {
  ...common,
  kind: 'list',
  id: '1.1',
  expected: () => [mm(1.2), mm(3.4)],
};
const f: FunctionQuestion<object> = {
  kind: 'function',
  id: '1.2',
  asks: 'Height',
  marks: 1,
  signature: '(x: number) => number',
  points: () => [[0], [1.23456], [2]],
  expected: (_given, x) => x * x,
  tolerance: { relative: 1e-6 },
  slips: [{ name: 'plain', value: () => (x) => x, hint: 'Square it.' }],
};
const word = (more: Partial<WordQuestion<object>>): WordQuestion<object> => ({
  kind: 'word',
  id: '1.3',
  asks: 'Colour',
  marks: 1,
  accepts: () => ['blue-green'],
  slips: [],
  ...more,
});
const proof = (question: AnyOpenQuestion) => proveQuestion(question, {});
const failures = (question: AnyOpenQuestion) => proof(question).failures;
const slip = <Value>(name: string, value: Value, hint = 'A hint.') => ({
  name,
  value: () => value,
  hint,
});

describe('sound questions have no failures; exact and rounded values are tried', () => {
  test('a list', () => {
    const slips = [slip('doubled', [mm(2.4), mm(6.8)]), slip('not here', [mm(1), Number.NaN])];
    expect(proof({ ...list, slips })).toMatchObject({
      failures: [],
      occurring: ['doubled'],
      judged: odd + 2 + 2,
    });
  });

  test('a function, which is not rounded, also where some of its values are 0', () => {
    expect(proof(f)).toMatchObject({ failures: [], occurring: ['plain'], judged: odd + 1 + 1 });
  });

  test('a number and a list with their uncertainties, which say themselves how to round', () => {
    const tolerance = { uncertainties: 2 };
    const slips = [slip('double', mm(2.4))];
    const one = { ...number, tolerance, uncertainty: () => mm(0.05), slips };
    expect(proof(one)).toMatchObject({ failures: [], occurring: ['double'], judged: odd + 1 + 1 });
    const both = { ...list, tolerance, uncertainty: () => [mm(0.05), mm(0.2)] };
    expect(proof(both)).toMatchObject({ failures: [], occurring: [], judged: odd + 1 });
    // Without its own uncertainty the second would have none, and could not agree.
    expect(failures({ ...both, uncertainty: () => [mm(0.05)] })).toContain(
      'the expected value itself does not agree',
    );
  });

  // Worked by hand: how many half-widths of the tolerance lie between slip and answer; of a list the farthest counts.
  test('how near a slip comes is told in tolerances', () => {
    const tolerance = { absolute: mm(0.1) };
    const one = { ...number, expected: () => mm(1.2), tolerance, slips: [slip('near', mm(1.45))] };
    expect(proof(one).rooms).toEqual([{ slip: 'near', times: expect.closeTo(2.5, 9) }]);
    const relative = { ...one, tolerance: { relative: 0.01 }, slips: [slip('near', mm(1.236))] };
    expect(proof(relative).rooms).toEqual([{ slip: 'near', times: expect.closeTo(3, 9) }]);
    const both = {
      ...list,
      ...{ expected: () => [mm(1), mm(2)], tolerance, slips: [slip('second', [mm(1), mm(2.5)])] },
    };
    expect(proof(both).rooms).toEqual([{ slip: 'second', times: expect.closeTo(5, 9) }]);
    expect(proof({ ...one, tolerance: { uncertainties: 2 } }).rooms).toEqual([]);
  });

  test('a word', () => {
    expect(proof(word({}))).toMatchObject({ failures: [], occurring: [], judged: odd });
  });
});

describe('expected values', () => {
  test('an empty list is nothing to expect, and an empty answer must not earn marks', () => {
    const found = failures({ ...list, expected: () => [] });
    expect(found).toContain('nothing is expected: the list is empty');
    expect(found).toContain('a nonsense answer (object) is judged agrees');
  });

  test('one value that is not finite is enough', () => {
    expect(failures({ ...list, expected: () => [mm(1), Number.NaN] })).toContain(
      'the expected value is not finite: 0.001, NaN',
    );
  });

  test('zeros among others leave a relative tolerance its width, zeros alone do not', () => {
    const zero = 'the expected value is 0, so a relative tolerance has no width; use { absolute }';
    expect(failures({ ...list, expected: () => [0, mm(1)] })).toEqual([]);
    expect(failures({ ...list, expected: () => [0, 0] })).toContain(zero);
    const absolute = { absolute: mm(0.1) };
    expect(failures({ ...list, expected: () => [0, 0], tolerance: absolute })).toEqual([]);
  });
});

describe('slips', () => {
  // 1.0004 mm within 0.05 %: rounded to 1.00 it still agrees.
  const narrow = { ...number, expected: () => mm(1.0004), tolerance: { relative: 5e-4 } };

  test('one that agrees only when it is rounded is told so', () => {
    expect(failures({ ...narrow, slips: [slip('near', mm(0.9996))] })).toEqual([
      'the slip “near”, rounded, agrees: it is nearer than the tolerance',
    ]);
  });

  test('one that is not known again when it is rounded is told so', () => {
    expect(failures({ ...narrow, slips: [slip('far', mm(2.0049))] })).toEqual([
      'the slip “far”, rounded, is taken for none',
    ]);
  });
});

describe('hints must not tell three digits of the expected value', () => {
  const told = (expected: number, hint: string) =>
    failures({
      ...number,
      expected: () => mm(expected),
      slips: [slip('double', mm(2 * expected), hint)],
    });

  test.each([
    [512, 'Not 512, is it?', '512'],
    [4.567, 'Near 4.567 mm.', '4.567'],
    [40.05, 'Is it 40.05?', '40.05'],
    [-4.567, 'Look at −4.567.', '−4.567'],
    [0.0123, 'At 0.0123 mm.', '0.0123'],
  ])('%f is told by “%s”', (expected, hint, text) => {
    expect(told(expected, hint)).toContain(
      `the hint of the slip “double” tells the expected value ${text}`,
    );
  });

  test.each([
    [41, 'There are 41 of them.'],
    [0.0012, 'Less than 0.0012 mm.'],
    [512, 'More than 51, less than 5120, and not 12.'],
    [4.567, 'No number.'],
  ])('%f is not told by “%s”', (expected, hint) => expect(told(expected, hint)).toEqual([]));

  test('nor may those of a list, but points of a function are no secret', () => {
    const slips = [slip('doubled', [mm(2.468), mm(6.8)], 'Of 1.234 only half.')];
    expect(failures({ ...list, expected: () => [mm(1.234), mm(3.4)], slips })).toContainEqual(
      expect.stringContaining('tells the expected value 1.234'),
    );
    const plain = [{ ...f.slips[0], hint: 'At 1.523 try again.' }];
    expect(failures({ ...f, expected: () => 1.523, slips: plain })).toEqual([]);
  });
});

describe('words', () => {
  test('some word must be accepted, and each that is must agree', () => {
    expect(failures(word({ accepts: () => [] }))).toContain('no word is accepted');
    const long = 'x'.repeat(81);
    expect(failures(word({ accepts: () => ['blue', long] }))).toEqual([
      `the word “${long}” does not agree`,
    ]);
  });

  test('what is nonsense anywhere is none to accept', () => {
    expect(failures(word({ accepts: () => ['0,32'] }))).toContain(
      'a nonsense answer (string) is judged agrees',
    );
  });

  test.each([
    ['blue -- green', 'Is it blue-green?'],
    ['blue-green', 'Something like Blue green.'],
    ['line 2', 'Take line 2, not line 3.'],
  ])('“%s” is told by “%s”', (accepted, hint) => {
    const slips = [{ name: 'sky', words: ['blue'], hint }];
    expect(failures(word({ accepts: () => [accepted], slips }))).toEqual([
      `the hint of the slip “sky” tells the word “${accepted}”`,
    ]);
  });

  test('a word inside a longer one is not told', () => {
    const slips = [{ name: 'sky', words: ['blue'], hint: 'Reddish? Infrared?' }];
    expect(failures(word({ accepts: () => ['red'], slips }))).toEqual([]);
  });
});
