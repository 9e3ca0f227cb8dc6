import * as mathjs from 'mathjs';
import { expect, test } from 'vitest';
import { degrees } from '../../kernel-lib/quantity/si';
import { judge } from '../../kernel-lib/questions/judge';

/** Quantities that a student made with mathjs itself; its whole is slow to load, so they have a file of their own. */
const judged = (answer: unknown) =>
  judge(
    {
      kind: 'number',
      id: '2.1',
      asks: 'First minimum',
      marks: 2,
      unit: 'deg',
      expected: () => degrees(0.787),
      tolerance: { relative: 0.005 },
      slips: [],
    },
    {},
    answer,
  );

test.each([
  ['a quantity of mathjs', mathjs.unit('0.787 deg')],
  ['one in another unit', mathjs.unit('47.22 arcmin')],
  ['one over BigNumbers', mathjs.create(mathjs.all, { number: 'BigNumber' }).unit('0.787 deg')],
])('%s agrees', (_name, answer) => {
  const verdict = judged(answer);
  expect(verdict).toMatchObject({ state: 'agrees', marks: 2 });
  expect(verdict.message).toMatch(/^0\.787° \(0° 47′ \d\d″\), within/);
});

test('a unit of mathjs without a number is told to be one', () => {
  const verdict = judged(mathjs.unit('deg'));
  expect(verdict.state).toBe('not yet');
  expect(verdict.message).toMatch(/deg is a unit without a number/);
});
