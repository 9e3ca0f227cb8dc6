import { expect, test } from 'vitest';
import { numberInCode } from '../../kernel-lib/marker/gather-returns';
import { chooseReturns } from '../../kernel-lib/marking/choose';
import {
  cellsToRun,
  type FoundReturn,
  notebookFrom,
  workOnly,
  writtenText,
} from '../../kernel-lib/marking/found-return';
import { oneSlit, originalOf, returnOf } from '../cli/class-for-test';

const found = (path: string, more: Partial<FoundReturn> = {}): FoundReturn => ({
  path,
  time: 1000,
  student: '1001',
  sheet: oneSlit,
  digest: path,
  text: '[]',
  ...more,
});

test('the latest return counts, whatever the order they are found in', () => {
  const all = [found('a', { time: 1 }), found('b', { time: 3 }), found('c', { time: 2 })];
  for (const list of [all, [...all].reverse()]) {
    const { counted, passedOver } = chooseReturns(list);
    expect(counted.map(({ path }) => path)).toEqual(['b']);
    expect(passedOver.map(({ path, reason }) => [path, reason]).sort()).toEqual([
      ['a', 'earlier return'],
      ['c', 'earlier return'],
    ]);
    expect(passedOver[0].why).toBe('b counts: it came later.');
  }
});

test('the same again is told as such; students and sheets do not mix', () => {
  const { counted, passedOver } = chooseReturns([
    found('a', { digest: 'd' }),
    found('b', { digest: 'd' }),
    found('c', { student: '1002' }),
    found('e', { sheet: '03-two-slits' }),
  ]);
  expect(counted.map(({ path }) => path).sort()).toEqual(['b', 'c', 'e']);
  expect(passedOver).toMatchObject([{ path: 'a', reason: 'same again' }]);
});

test('where times do not decide, it is said what does', () => {
  const whyOf = (time?: number) =>
    chooseReturns([found('a', { time: undefined }), found('b', { time })]).passedOver[0].why;
  expect(whyOf(5)).toMatch(/^b counts: nothing tells when this one came/);
  const { passedOver } = chooseReturns([found('a'), found('b')]);
  expect(passedOver[0].why).toMatch(/^b counts: both came at one time/);
});

test('a file named after someone else never takes the place of one’s own', () => {
  const { counted } = chooseReturns([
    found('1002 mine.ipynb', { time: 9e12, namesAnother: true }),
    found('1001.ipynb', { time: 1 }),
  ]);
  expect(counted.map(({ path }) => path)).toEqual(['1001.ipynb']);
});

test('answer cells and givens come from the original; the cell with the number is one text for all', () => {
  const sources = { given: 'const check = 1;', '2-1-answer': 'hacked()', '2-1-work': 'mine()' };
  const texts = ['1001', '204117'].map((student) =>
    cellsToRun(originalOf(oneSlit), returnOf(oneSlit, student, sources), 'slot', numberInCode),
  );
  expect(texts[0]).toEqual(texts[1]);
  const source = (id: string) => texts[0].find((cell) => cell.id === id)?.source;
  expect(source('2-1-work')).toBe('mine()');
  expect(source('2-1-answer')).toBe("check('2.1', firstDarkLine);");
  expect(source('given')).toMatch(/begin\('02-one-slit', studentNumber\)/);
  expect(source('student-number')).toMatch(
    /^const studentNumber: string = .*Symbol\.for\('slot'\)/,
  );
});

test('what a student adds to the cell with the number runs too', () => {
  const own = 'const helper = 2;\nlet studentNumber = `1001`; // me';
  const [cell] = cellsToRun(
    originalOf(oneSlit),
    returnOf(oneSlit, '1001', { 'student-number': own }),
    'slot',
    numberInCode,
  );
  expect(cell.source).toMatch(
    /^const helper = 2;\nlet studentNumber = \(.*Symbol\.for\('slot'\)\] as string\); \/\/ me$/,
  );
});

test('a packed return runs the same cells as the notebook itself', () => {
  const original = originalOf(oneSlit);
  const whole = returnOf(oneSlit, '1001', { '2-1-work': 'mine();', '2-9-written': 'Because.' });
  const packed = notebookFrom(writtenText(workOnly(original, whole)));
  expect(cellsToRun(original, packed, 'slot', numberInCode)).toEqual(
    cellsToRun(original, whole, 'slot', numberInCode),
  );
});
