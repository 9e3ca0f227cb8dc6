import { expect, test } from 'vitest';
import { sideBySide } from '../../kernel-lib/marking/side-by-side';
import type { Cell, Notebook } from '../../kernel-lib/notebook/notebook';

const code = (id: string, source: string, question?: string): Cell => ({
  ...{ cell_type: 'code', id, source, outputs: [], execution_count: null },
  metadata: question ? { multislit: { sheet: '09-invented', role: 'work', question } } : {},
});
const notebook = (...cells: Cell[]): Notebook => ({
  ...{ nbformat: 4, nbformat_minor: 5, metadata: {}, cells },
});
const sheet = notebook(
  code('9-1-work', 'const width = blank;   // your value, in micrometres', '9.1'),
  code('9-2-work', 'const angle = blank;', '9.2'),
);
const copied =
  'const phaseOfHalf = Math.PI * given.width * Math.sin(theta) / given.wavelength;\nconst width = phaseOfHalf * 0.73219;';
const questions = ['9.1', '9.2'];
const sameIn = (pieces: readonly { text: string; isSame: boolean }[]) =>
  pieces.filter(({ isSame }) => isSame).map(({ text }) => text);

test('what two returns share is marked in both, wherever it stands; every letter is still there', () => {
  const one = notebook(
    code('9-1-work', copied, '9.1'),
    code('9-2-work', 'const angle = 2;', '9.2'),
  );
  const other = notebook(
    code('9-1-work', 'const width = 12;', '9.1'),
    code('9-2-work', `// moved\n${copied}\nconst angle = 4;`, '9.2'),
  );
  const [first, second] = sideBySide(sheet, questions, one, other);
  expect(sameIn(first.one.pieces)).toEqual([copied]);
  expect(sameIn(first.other.pieces)).toEqual([]);
  expect(sameIn(second.other.pieces)[0]).toContain('const phaseOfHalf = Math.PI');
  expect(first.one.pieces.map(({ text }) => text).join('')).toBe(copied);
  expect(second.other.pieces.map(({ text }) => text).join('')).toContain('// moved\n');
  expect(first.one.same).toBeGreaterThan(15);
  expect(first.one.same).toBeLessThan(first.one.words + 1);
});

test('what the sheet says, and what everybody writes, is not marked', () => {
  const one = notebook(
    code('9-1-work', 'const width = 88;   // your value, in micrometres', '9.1'),
  );
  const other = notebook(code('9-1-work', 'const width = 91;', '9.1'));
  expect(sideBySide(sheet, questions, one, other)[0].one.same).toBe(0);
});

test('an odd number and a name of their own are marked by themselves', () => {
  const one = notebook(code('9-1-work', 'const oddWay = 41.237; const width = oddWay;', '9.1'));
  const other = notebook(code('9-1-work', 'let oddWay = 3 + 41.237', '9.1'));
  const [{ one: left, other: right }] = sideBySide(sheet, questions, one, other);
  expect(sameIn(left.pieces)).toEqual(['oddWay', '41.237', 'oddWay']);
  expect(sameIn(right.pieces)).toEqual(['oddWay', '41.237']);
});

test('cells of their own stand beside each other, and where one has none there is nothing', () => {
  const work = code('9-1-work', 'const width = 5;', '9.1');
  const one = notebook(work, code('own-1', copied));
  const pairs = sideBySide(sheet, questions, one, notebook(work));
  const own = pairs.find(({ isOwn }) => isOwn);
  expect([own?.question, own?.other.words, own?.one.same]).toEqual(['9.1', 0, 0]);
});
