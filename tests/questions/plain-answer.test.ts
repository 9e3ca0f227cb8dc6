import { expect, test } from 'vitest';
import { measured } from '../../kernel-lib/quantity/measured';
import { unit } from '../../kernel-lib/quantity/unit';
import { blank } from '../../kernel-lib/questions/blank';
import { drawFor } from '../../kernel-lib/questions/draw-for';
import { judge } from '../../kernel-lib/questions/judge';
import { judgePlain } from '../../kernel-lib/questions/judge-plain';
import { type PlainAnswer, plainAnswer } from '../../kernel-lib/questions/plain-answer';
import type { AnyQuestion } from '../../kernel-lib/questions/sheet';
import { sampleSheet } from './sample-sheet';

const given = sampleSheet.givens(drawFor('02-sample', '204117'));
const [number, list, f, word, sealed] = sampleSheet.questions as readonly AnyQuestion[];
const sampling =
  f.kind === 'function' ? { points: f.points(given), signature: f.signature } : undefined;
const first = (Math.asin(given.wavelength / given.width) * 180) / Math.PI;

const answers: readonly unknown[] = [
  first,
  2 * first,
  -first,
  Number.NaN,
  Number.NEGATIVE_INFINITY,
  unit(`${first} deg`),
  unit('3 mm'),
  unit('3 /mm'),
  unit('3 kg'),
  unit('deg'),
  measured(first, 0.001),
  { value: Number.NaN, u: 1 },
  'purple',
  'blue',
  '0,32',
  '',
  [1, 2, 3],
  [1, [2], 3],
  [1, blank, 3],
  [unit('3 mm'), 2, 1],
  new Float64Array([3, 4, 5]),
  blank,
  null,
  undefined,
  true,
  5n,
  {},
  Promise.resolve(1),
  (s: number) => {
    const b = (Math.PI * given.width * s) / given.wavelength;
    return s === 0 ? 1 : (Math.sin(b) / b) ** 2;
  },
  (s: number) => s,
  (s: number) => 1 / s,
  () => 'x',
  () => {
    throw new Error('oh');
  },
];

test('through JSON and back every answer gets the very verdict that it gets in the notebook', () => {
  let compared = 0;
  for (const question of [number, list, f, word, sealed])
    for (const answer of answers) {
      if (typeof answer === 'function' && question.kind !== 'function') continue;
      const plain = JSON.parse(JSON.stringify(plainAnswer(answer, sampling)));
      expect(judgePlain(question, given, plain)).toEqual(judge(question, given, answer));
      compared++;
    }
  expect(compared).toBeGreaterThan(100);
});

test('a function without points is only known to be one', () => {
  expect(plainAnswer(() => 1)).toEqual({ is: 'other', kind: 'a function' });
  expect(
    judgePlain(
      number,
      given,
      plainAnswer(() => 1),
    ).message,
  ).toMatch(/This is a function/);
});

test('answers that resist being read stay harmless', () => {
  const trap = new Proxy(
    {},
    {
      get: () => {
        throw new Error('boo');
      },
    },
  );
  expect(plainAnswer(trap)).toMatchObject({ is: 'other' });
  const deep: unknown[] = [];
  deep.push(deep);
  expect(() => JSON.stringify(plainAnswer(deep))).not.toThrow();
  expect(plainAnswer(new Array(20_000).fill(1))).toMatchObject({ is: 'other' });
  expect(JSON.stringify(plainAnswer('x'.repeat(1e6))).length).toBeLessThan(20_000);
});

test.each([
  null,
  {},
  { is: 'number', value: '5' },
  { is: 'number', value: {} },
  { is: 'list', items: 'abc' },
  { is: 'list', items: [{ is: 'number' }] },
  { is: 'text', text: 5 },
  { is: 'quantity', value: 1, si: 5, text: '' },
  { is: 'measured', value: 1 },
  { is: 'other' },
  { is: 'verdict', state: 'agrees' },
])('forged JSON is refused: %j', (forged) => {
  expect(() => judgePlain(number, given, forged as unknown as PlainAnswer)).toThrow(RangeError);
});

test('samples forged for another question do not agree', () => {
  const forged = { is: 'samples', values: [1, 1, 1, 1] } as const;
  expect(judgePlain(number, given, forged).state).toBe('not yet');
  expect(judgePlain(f, given, forged).state).toBe('not yet');
  expect(() => judgePlain(f, given, { is: 'samples', values: [{}] } as never)).toThrow(RangeError);
});
