import { describe, expect, test } from 'vitest';
import { unit } from '../../kernel-lib/quantity/unit';
import { drawFor } from '../../kernel-lib/questions/draw-for';
import { judgePlain } from '../../kernel-lib/questions/judge-plain';
import {
  longestList,
  longestText,
  type PlainAnswer,
  plainAnswer,
} from '../../kernel-lib/questions/plain-answer';
import type { AnyQuestion } from '../../kernel-lib/questions/sheet';
import { sampleSheet } from './sample-sheet';

/** What `judgePlain` takes from a process that nobody trusts: how much, how deep, and nothing of another form. */
const given = sampleSheet.givens(drawFor('02-sample', '204117'));
const [number, list, f] = sampleSheet.questions as readonly AnyQuestion[];
const one: PlainAnswer = { is: 'number', value: 1 };
const nested = (depth: number): PlainAnswer =>
  depth === 0 ? one : { is: 'list', items: [nested(depth - 1)] };
const judged = (question: AnyQuestion, plain: unknown) =>
  judgePlain(question, given, plain as PlainAnswer);

describe('no more is read than plainAnswer writes', () => {
  test('lists: so long, and no longer', () => {
    const items = (length: number) => new Array<PlainAnswer>(length).fill(one);
    expect(judged(list, { is: 'list', items: items(longestList) }).message).toMatch(/yours has/);
    expect(() => judged(list, { is: 'list', items: items(longestList + 1) })).toThrow(RangeError);
    const values = (length: number) => new Array<number>(length).fill(1);
    expect(judged(f, { is: 'samples', values: values(longestList) }).state).toBe('not yet');
    expect(() => judged(f, { is: 'samples', values: values(longestList + 1) })).toThrow(RangeError);
  });

  test('lists: so deep, and no deeper', () => {
    expect(judged(number, nested(3)).state).toBe('not yet');
    expect(() => judged(number, nested(4))).toThrow(RangeError);
    expect(() => judged(number, nested(50))).toThrow(RangeError);
  });

  test('texts are cut', () => {
    const long = 'x'.repeat(3 * longestText);
    expect(judged(number, { is: 'other', kind: long }).message.length).toBeLessThan(
      longestText + 500,
    );
    expect(judged(f, { is: 'failed', problem: long }).message).toBe('x'.repeat(400));
  });
});

test.each([
  { is: 'samples', values: { length: 0 } },
  { is: 'samples', values: 'abc' },
  { is: 'samples', values: [null] },
  { is: 'failed' },
  { is: 'failed', problem: 7 },
])('%j is refused', (forged) => expect(() => judged(f, forged)).toThrow(RangeError));

test('what a function did elsewhere is no answer to a number', () => {
  const samples = { is: 'samples', values: [1, 2, 3, 4] };
  expect(judged(number, samples).message).toMatch(/a function, not a number/);
  // What was stopped is told in its own words, whatever was asked for, and earns nothing.
  const stopped = judged(number, { is: 'failed', problem: 'It did not end within 20 s.' });
  expect(stopped).toMatchObject({
    state: 'not yet',
    marks: 0,
    message: 'It did not end within 20 s.',
  });
});

test('plainAnswer goes two lists deep, as long as judgePlain reads, and cuts texts', () => {
  expect(plainAnswer([[1]])).toEqual({ is: 'list', items: [{ is: 'list', items: [one] }] });
  expect(plainAnswer([[[1]]])).toEqual({
    is: 'list',
    items: [{ is: 'list', items: [{ is: 'other', kind: 'a list of 1' }] }],
  });
  expect(plainAnswer(new Array(longestList).fill(1)).is).toBe('list');
  expect(plainAnswer(new Array(longestList + 1).fill(1)).is).toBe('other');
  const text = plainAnswer('y'.repeat(longestText + 1));
  expect(text).toEqual({ is: 'text', text: 'y'.repeat(longestText) });
});

test('what cannot be named or read is written as such', () => {
  const trap = new Proxy([], {
    get: () => {
      throw new Error('boo');
    },
  });
  expect(plainAnswer(trap)).toEqual({
    is: 'other',
    kind: 'an object that cannot be read (boo)',
  });
  expect(plainAnswer(unit('3 kg'))).toEqual({
    is: 'quantity',
    value: 'NaN',
    si: '',
    text: '3 kg',
  });
});
