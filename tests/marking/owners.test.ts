import { expect, test } from 'vitest';
import { identifiedAs, identify, isDisputed } from '../../kernel-lib/marking/found-return';
import { readOwners, withOwner } from '../../kernel-lib/marking/owners';

const roster = new Set(['1001', '1002']);

test('whose files are is read as a spreadsheet saves it; without a student a file is left out', () => {
  const text =
    'path;student;reason\r\n"a; b/lost.ipynb";1001;Told me so.\r\nodd.zip;;A copy by mistake.\r\n';
  expect([...readOwners(text, roster)]).toEqual([
    ['a; b/lost.ipynb', { student: '1001', reason: 'Told me so.' }],
    ['odd.zip', { student: undefined, reason: 'A copy by mistake.' }],
  ]);
});

test.each([
  ['a.ipynb,4711,So.', /Line 2 has "4711" as student, who is not in the roster/],
  ['a.ipynb,Mira,So.', /Line 2 has "Mira" as student; 4 to 10 digits/],
  ['a.ipynb,1001,', /Line 2 gives no reason/],
  [',1001,So.', /Line 2 names no file/],
  ['a.ipynb,1001,So.\na.ipynb,1002,So.', /Line 3 speaks of a\.ipynb again/],
])('%j is told by its line', (lines, sentence) => {
  expect(() => readOwners(`path,student,reason\n${lines}\n`, roster)).toThrow(sentence);
});

test('what is said of one file leaves the lines of others as they were typed', () => {
  const first = withOwner('', '=odd.ipynb', { student: '1001', reason: 'So.' });
  const second = withOwner(first, 'b.ipynb', { student: undefined, reason: 'Twice.' });
  expect([...readOwners(second, roster).keys()]).toEqual(['=odd.ipynb', 'b.ipynb']);
  expect(withOwner(second, 'b.ipynb', undefined)).toBe(first);
  const again = withOwner(second, '=odd.ipynb', { student: '1002', reason: 'No.' });
  expect(readOwners(again, roster).get('=odd.ipynb')?.student).toBe('1002');
});

test('where a person says whose it is, a number of nobody’s in the notebook is judged with, too', () => {
  expect(identifiedAs('1001', 'So.', '1010', roster)).toMatchObject({
    student: '1001',
    typed: '1010',
  });
  expect(identifiedAs('1001', 'So.', '1002', roster)).not.toHaveProperty('typed');
  expect(identifiedAs('1001', 'So.', '1001', roster)).not.toHaveProperty('typed');
});

test('notebook and name that say different students are a dispute, one that agrees is none', () => {
  const noteOf = (path: string, typed: string) => {
    const found = identify(path, typed, { roster, inNames: roster });
    return 'note' in found ? (found.note ?? '') : '';
  };
  expect(isDisputed(noteOf('1002.ipynb', '1001'))).toBe(true);
  expect(isDisputed(noteOf('1001.ipynb', '7777'))).toBe(true);
  expect(isDisputed(noteOf('1001.ipynb', ''))).toBe(false);
  expect(isDisputed(noteOf('x.ipynb', '1001'))).toBe(false);
});
