import { expect, test } from 'vitest';
import { blank, isBlank } from '../../kernel-lib/questions/blank';

test.each([
  ['blank', blank],
  ['undefined', undefined],
  ['null', null],
  ['empty text', ''],
  ['text of spaces', ' \t'],
  ['a list of blanks', [blank, undefined, null]],
  ['a list of lists of blanks', [[blank], blank]],
])('%s is no answer', (_name, answer) => expect(isBlank(answer)).toBe(true));

test.each([
  ['0', 0],
  ['NaN', Number.NaN],
  ['an empty list', []],
  ['a list with one number', [blank, 3]],
  ['a function', () => Number.NaN],
  ['a word', 'blue'],
  ['false', false],
  ['an object', {}],
])('%s is an answer, right or wrong', (_name, answer) => expect(isBlank(answer)).toBe(false));

test('blank is a number wherever one is asked for, and a word only in text', () => {
  expect(blank[Symbol.toPrimitive]('number')).toBeNaN();
  expect(blank[Symbol.toPrimitive]('default')).toBeNaN();
  expect(String(blank)).toBe('blank');
  expect(blank + 1).toBeNaN();
  expect(blank < 1).toBe(false);
});
