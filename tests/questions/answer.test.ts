import { afterEach, describe, expect, test, vi } from 'vitest';
import { measured } from '../../kernel-lib/quantity/measured';
import { unit } from '../../kernel-lib/quantity/unit';
import {
  blank,
  isBlank,
  longestList,
  longestText,
  type PlainAnswer,
  plainAnswer,
  readAnswer,
} from '../../kernel-lib/questions/answer';
import { drawFor } from '../../kernel-lib/questions/draw';
import { judge, judgePlain, samplingOf } from '../../kernel-lib/questions/judge';
import type { AnyQuestion } from '../../kernel-lib/questions/sheet';
import { sampleSheet } from './sample-sheet';

const one: PlainAnswer = { is: 'number', value: 1 };
const nested = (depth: number): unknown =>
  depth === 0 ? one : { is: 'list', items: [nested(depth - 1)] };
const trap = new Proxy([], {
  get: () => {
    throw new Error('boo');
  },
});

describe('an answer is written down as plain JSON', () => {
  test.each<[string, unknown, PlainAnswer]>([
    ['a number', 0.5, { is: 'number', value: 0.5 }],
    ['NaN', Number.NaN, { is: 'number', value: 'NaN' }],
    ['−∞', Number.NEGATIVE_INFINITY, { is: 'number', value: '-Infinity' }],
    ['a measured value', measured(2, 0.5), { is: 'measured', value: 2, u: 0.5 }],
    ['what looks like one', { value: Number.NaN, u: 1 }, { is: 'measured', value: 'NaN', u: 1 }],
    ['text', 'purple', { is: 'text', text: 'purple' }],
    ['a list', [1, blank], { is: 'list', items: [one, { is: 'blank' }] }],
    ['a typed array', new Float64Array([1]), { is: 'list', items: [one] }],
    ['a list of blanks', [blank, undefined], { is: 'blank' }],
    ['a function', () => 1, { is: 'other', kind: 'a function' }],
    ['false', false, { is: 'other', kind: 'the word false' }],
    ['a bigint', 5n, { is: 'other', kind: 'a bigint (a number that ends in n)' }],
    ['a symbol', Symbol('s'), { is: 'other', kind: 'a symbol' }],
    ['a promise', Promise.resolve(1), { is: 'other', kind: 'a promise (put await before it)' }],
    ['an object', {}, { is: 'other', kind: 'an object' }],
    ['what resists', trap, { is: 'other', kind: 'an object that cannot be read (boo)' }],
  ])('%s', (_name, answer, plain) => expect(plainAnswer(answer)).toEqual(plain));

  test.each([
    ['2 cm', 0.02, 'm'],
    ['90 deg', Math.PI / 2, 'rad'],
    ['5 /mm', 5000, '1/m'],
    ['3 m/s', 3, 'm/s'],
    ['4 mm^3', 4e-9, 'm^3'],
    ['6 /mm^2', 6e6, '1/m^2'],
  ])('the quantity %s as %d %s', (text, value, si) => {
    const plain = plainAnswer(unit(text)) as { value?: number };
    expect(plain).toMatchObject({ is: 'quantity', si });
    expect((plain.value ?? Number.NaN) / value).toBeCloseTo(1, 12);
  });

  test.each(['3 kg', 'deg'])('a mass, and a unit without a number: %s', (text) =>
    expect(plainAnswer(unit(text))).toEqual({ is: 'quantity', value: 'NaN', si: '', text }),
  );

  test('two lists deep, so long and no longer; texts are cut', () => {
    expect(plainAnswer([[1]])).toEqual(nested(2));
    expect(plainAnswer([[[1]]])).toEqual({
      is: 'list',
      items: [{ is: 'list', items: [{ is: 'other', kind: 'a list of 1' }] }],
    });
    const deep: unknown[] = [];
    deep.push(deep);
    expect(() => JSON.stringify(plainAnswer(deep))).not.toThrow();
    expect(plainAnswer(new Array(longestList).fill(1)).is).toBe('list');
    expect(plainAnswer(new Array(longestList + 1).fill(1)).is).toBe('other');
    const text = plainAnswer('y'.repeat(longestText + 1));
    expect(text).toEqual({ is: 'text', text: 'y'.repeat(longestText) });
  });
});

describe('blank', () => {
  test.each([
    [undefined, true],
    [null, true],
    [' \t', true],
    [[[blank], blank], true],
    [0, false],
    [[], false],
    [[blank, 3], false],
    [() => Number.NaN, false],
    [false, false],
    [{}, false],
  ])('%s: %s', (answer, is) => expect(isBlank(answer)).toBe(is));

  test('is a number wherever one is asked for, can be called, and is a word only in text', () => {
    for (const value of [blank * 2, Math.sin(blank), blank(0.3), blank + 1])
      expect(value).toBeNaN();
    expect(blank < 1).toBe(false);
    expect(`${blank}`).toBe('blank');
  });
});

const points = [
  [0.5, 2],
  [1, 3],
];
const sampled = (f: unknown, at: readonly (readonly number[])[] = points) => {
  const plain = plainAnswer(f, { points: at, signature: '(x: number, y: number) => number' });
  return plain.is === 'failed' ? plain.problem : plain.is === 'samples' ? plain.values : plain;
};
/** A function that lets the clock go on by so many milliseconds a call. */
function slow(time: number) {
  vi.useFakeTimers();
  return () => {
    vi.setSystemTime(Date.now() + time);
    return 1;
  };
}
const line = (count: number) => Array.from({ length: count }, (_, i) => [i]);

describe('a function is written down by its values at the points that are asked for', () => {
  afterEach(() => {
    vi.useRealTimers();
  });

  test('called with all arguments of every point, in order', () => {
    expect(sampled((x: number, y: number) => 10 * x + y)).toEqual([7, 13]);
    expect(sampled(() => 4, [])).toEqual([]);
    expect(sampled((x: number) => x, [])).toMatch(/yours takes 1 arguments, .* called with 0/);
    expect(sampled(blank)).toEqual({ is: 'blank' });
    expect(sampled(7)).toEqual({ is: 'number', value: 7 });
  });

  test('the point where it goes wrong is named as its arguments are written', () => {
    const wrong = (x: number) => (x === 1 ? undefined : 5);
    expect(sampled(wrong)).toMatch(/^At \(1, 3\) your function returns nothing/);
    expect(sampled(wrong, [[1]])).toMatch(/^At 1 your function returns nothing/);
    const stops = (thrown: unknown) => (x: number) => {
      if (x === 1) throw thrown;
      return x;
    };
    const stopped = 'At (1, 3) your function stops with an error:';
    expect(sampled(stops(new Error('stuck')))).toBe(`${stopped} stuck`);
    expect(sampled(stops('text'))).toBe(`${stopped} text`);
    expect(sampled(stops(Object.create(null)))).toBe(`${stopped} an unknown error`);
    expect(sampled(stops('x'.repeat(300)))).toBe(`${stopped} ${'x'.repeat(200)}`);
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
    ['a list', [1], /returns a list, not a number/],
    ['−∞', Number.NEGATIVE_INFINITY, /an infinite value/],
  ])('%s is no number', (_name, value, message) => expect(sampled(() => value)).toMatch(message));

  test('two seconds for a point and ten for all are let pass, more are not', () => {
    expect(sampled(slow(2000), line(5))).toEqual([1, 1, 1, 1, 1]);
    expect(sampled(slow(2001), line(5))).toMatch(/takes too long: 2\.0 s at 0\./);
    expect(sampled(slow(2000), line(6))).toMatch(/takes too long: 2\.0 s at 5\./);
    expect(sampled(slow(20), line(501))).toMatch(/takes too long: 0\.0 s at 500\./);
  });
});

describe('an answer of an untrusted process is read', () => {
  test.each<PlainAnswer>([
    { is: 'number', value: 0.5 },
    { is: 'number', value: 'NaN' },
    { is: 'measured', value: 1, u: 0.1 },
    { is: 'quantity', value: 1, si: 'm', text: '1 m' },
    { is: 'text', text: 'purple' },
    { is: 'list', items: [{ is: 'number', value: 1 }, { is: 'blank' }] },
    { is: 'samples', values: [1, 'Infinity'] },
    { is: 'failed', problem: 'no' },
    { is: 'other', kind: 'an object' },
    { is: 'blank' },
  ])('%j as it is', (answer) => expect(readAnswer(answer)).toEqual(answer));

  test.each<[unknown]>([
    [null],
    [{}],
    [{ is: 'number', value: '1' }],
    [{ is: 'number', value: { valueOf: 1 } }],
    [{ is: 'measured', value: 1 }],
    [{ is: 'samples', values: [1, null] }],
    [{ is: 'samples', values: [{}] }],
    [{ is: 'samples', values: { length: 3 } }],
    [{ is: 'list', items: 'abc' }],
    [{ is: 'list', items: Array(longestList + 1).fill(one) }],
    [{ is: 'samples', values: Array(longestList + 1).fill(1) }],
    [{ is: 'agrees', marks: 9 }],
    [{ is: 'verdict', state: 'agrees' }],
    [{ is: ['number'], value: 1 }],
    [Object.create({ is: 'number', value: 1 })],
  ])('%j as something that no question takes', (forged) => {
    expect(readAnswer(forged)).toEqual({ is: 'other', kind: 'something that cannot be read' });
  });

  test('extra properties stay behind; texts are cut; lists in lists end somewhere', () => {
    expect(readAnswer({ ...one, marks: 9 })).toEqual(one);
    expect(readAnswer({ is: 'text', text: 'x'.repeat(1e6) })).toEqual({
      is: 'text',
      text: 'x'.repeat(1000),
    });
    expect(readAnswer({ is: 'failed', problem: 7 })).toEqual({ is: 'failed', problem: '' });
    expect(readAnswer({ is: 'list', items: Array(longestList).fill(one) }).is).toBe('list');
    expect(readAnswer(nested(2))).toEqual(nested(2));
    let deep: unknown = one;
    for (let i = 0; i < 50_000; i++) deep = { is: 'list', items: [deep] };
    expect(JSON.stringify(readAnswer(deep)).length).toBeLessThan(200);
  });
});

describe('what is judged is the plain answer', () => {
  const given = sampleSheet.givens(drawFor('02-sample', '204117'));
  const questions = sampleSheet.questions as readonly AnyQuestion[];
  const [number, list, f] = questions;

  test.each([
    Math.PI,
    Number.NaN,
    unit('3 mm'),
    measured(0.787, 0.001),
    'purple',
    [1, [2], 3],
    [1, blank, 3],
    new Float64Array([3, 4, 5]),
    null,
    true,
    (s: number) => s,
    () => 'x',
  ])('%s gets the same verdict after a way through JSON', (answer) => {
    for (const question of questions) {
      const plain = plainAnswer(answer, samplingOf(question, given));
      const read = readAnswer(JSON.parse(JSON.stringify(plain)));
      expect(judgePlain(question, given, read)).toEqual(judge(question, given, answer));
    }
  });

  test('forged samples and failures are values to be judged, and earn nothing', () => {
    const forged = { is: 'samples', values: [1, 1, 1, 1] } as const;
    expect(judgePlain(number, given, forged).message).toMatch(/a function, not a number/);
    expect(judgePlain(list, given, forged).state).toBe('not yet');
    expect(judgePlain(f, given, forged).state).toBe('not yet');
    const long = { is: 'failed', problem: 'x'.repeat(1000) } as const;
    for (const question of questions)
      expect(judgePlain(question, given, long)).toMatchObject({
        state: 'not yet',
        marks: 0,
        message: 'x'.repeat(400),
      });
  });
});
