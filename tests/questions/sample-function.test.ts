import { afterEach, expect, test, vi } from 'vitest';
import { sampleFunction, sampleProblem } from '../../kernel-lib/questions/sample-function';
import { say, sayError } from '../../kernel-lib/questions/say';

const points = [
  [0.5, 2],
  [1, 3],
];
const sampled = (f: unknown, at: readonly (readonly number[])[] = points) => {
  const result = sampleFunction(f, at, '(x: number, y: number) => number');
  return 'problem' in result ? result.problem : result.samples;
};

test('a function is called with all arguments of every point, in order', () => {
  expect(sampled((x: number, y: number) => 10 * x + y)).toEqual([7, 13]);
  expect(sampled(() => 4, [])).toEqual([]);
  expect(sampled((x: number) => x, [])).toMatch(/yours takes 1 arguments, .* called with 0/);
});

test('the point where it goes wrong is named as its arguments are written', () => {
  const wrong = (x: number) => (x === 1 ? undefined : 5);
  expect(sampled(wrong)).toMatch(/^At \(1, 3\) your function returns nothing/);
  expect(sampled(wrong, [[1]])).toMatch(/^At 1 your function returns nothing/);
  expect(
    sampled((x: number) => {
      if (x === 1) throw new Error('stuck');
      return x;
    }),
  ).toBe('At (1, 3) your function stops with an error: stuck');
});

test('only NaN everywhere, without an error, is the skeleton still', () => {
  expect(sampled(() => Number.NaN)).toMatch(/no answer yet/);
  expect(sampled((x: number) => (x === 1 ? 1 : Number.NaN))).toMatch(/^At \(0\.5, 2\) .* NaN/);
  const stops = (x: number) => {
    if (x === 1) throw new Error('stuck');
    return Number.NaN;
  };
  expect(sampled(stops)).toMatch(/^At \(0\.5, 2\) .* NaN/);
});

const withThen = (then: unknown) => Object.fromEntries([['then', then]]);

test.each([
  ['a promise', Promise.resolve(1), /a promise\. Take away async/],
  ['anything that can be awaited', withThen(() => {}), /a promise/],
  ['an object with a then that is no function', withThen(1), /a value of type object/],
  ['null', null, /a value of type object, not a number/],
  ['NaN', Number.NaN, /NaN, "not a number"/],
  ['−∞', Number.NEGATIVE_INFINITY, /an infinite value/],
])('%s is no number', (_name, value, message) =>
  expect(sampleProblem(value, [0])).toMatch(message),
);

test.each([0, -1.5, Number.MAX_VALUE])('%d is', (value) =>
  expect(sampleProblem(value, [0])).toBeUndefined(),
);

afterEach(() => {
  vi.useRealTimers();
});

/** A function that lets the clock go on by so many milliseconds a call. */
function slow(time: number) {
  vi.useFakeTimers();
  return () => {
    vi.setSystemTime(Date.now() + time);
    return 1;
  };
}
const line = (count: number) => Array.from({ length: count }, (_, i) => [i]);

test('two seconds for a point and ten for all are let pass, more are not', () => {
  expect(sampled(slow(2000), line(5))).toEqual([1, 1, 1, 1, 1]);
  expect(sampled(slow(2001), line(5))).toMatch(/takes too long: 2\.0 s at 0\./);
  expect(sampled(slow(2000), line(6))).toMatch(/takes too long: 2\.0 s at 5\./);
  expect(sampled(slow(20), line(501))).toMatch(/takes too long: 0\.0 s at 500\./);
});

test('any value is said in short', () => {
  expect(say('x'.repeat(300), '')).toHaveLength(200);
  expect(say('x'.repeat(300), '', 60)).toHaveLength(60);
  expect(say({}, 'an object')).toBe('an object');
  expect(say(Object.create(null), 'no text')).toBe('no text');
  expect(sayError(new RangeError('out of range'))).toBe('out of range');
  expect(sayError('thrown text')).toBe('thrown text');
  expect(sayError(Object.create(null))).toBe('an unknown error');
});
