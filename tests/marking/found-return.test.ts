import { expect, test } from 'vitest';
import { numberInCode } from '../../kernel-lib/marker/gather-returns';
import {
  cellsToRun,
  notebookFrom,
  workOnly,
  writtenText,
} from '../../kernel-lib/marking/found-return';
import { oneSlit, originalOf, returnOf } from '../cli/class-for-test';

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
