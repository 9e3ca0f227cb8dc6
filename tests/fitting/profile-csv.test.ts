import { describe, expect, test } from 'vitest';
import { csvProfile } from '../../kernel-lib/fitting/profile-csv';

const numbers = (list: Float64Array | undefined) => Array.from(list ?? []);

test.each([
  ['comma and point', 'x (mm),signal\n-1.5,10\n0,20\n1.5,12.25\n'],
  ['semicolon and decimal comma', 'x / mm;signal\n-1,5;10\n0;20\n1,5;12,25\n'],
  [
    'tabs, byte-order mark, Windows line ends',
    '\ufeffx [mm]\tsignal\r\n-1.5\t10\r\n0\t20\r\n1.5\t12.25\r\n',
  ],
  [
    'quotes, remarks, empty lines',
    '# camera 3\n"x / mm","signal"\n\n"-1.5","10"\n0,20\n# end\n1.5,12.25',
  ],
  ['out of order, exponents, a typeset minus', 'x / mm,signal\n1.5,1.225e1\n−1.5,1e1\n0,20'],
])('%s', (_, text) => {
  const profile = csvProfile(text);
  expect(numbers(profile.x)).toEqual([-1.5e-3, 0, 1.5e-3]);
  expect(numbers(profile.y)).toEqual([10, 20, 12.25]);
  expect(csvProfile(new TextEncoder().encode(text)).y).toEqual(profile.y);
});

test('units: µm, nm, cm, m, and 1 for direction sines', () => {
  for (const [unit, factor] of Object.entries({
    µm: 1e-6,
    um: 1e-6,
    nm: 1e-9,
    cm: 1e-2,
    m: 1,
    1: 1,
  })) {
    expect(csvProfile(`x / ${unit};y\n2;1\n4;2`).x[1]).toBeCloseTo(4 * factor, 18);
  }
});

test('without a heading the unit is given, columns are counted from 1', () => {
  const profile = csvProfile('9;1;5\n9;2;6', { unit: 'mm', x: 2, y: 3 });
  expect(numbers(profile.x)).toEqual([1e-3, 2e-3]);
  expect(numbers(profile.y)).toEqual([5, 6]);
});

test('columns by heading, and the uncertainty by its own', () => {
  const text = 'time / s,pos / mm,counts,u\n0,1,100,10\n1,2,144,12';
  const profile = csvProfile(text, { x: 'pos', y: 'counts' });
  expect(numbers(profile.x)).toEqual([1e-3, 2e-3]);
  expect(numbers(profile.u)).toEqual([10, 12]);
});

describe('sentences', () => {
  test.each([
    ['no unit', 'x,y\n1,2\n3,4', /unit of the positions is not stated in "x"/],
    ['unknown unit', 'x / inch,y\n1,2', /"inch"/],
    ['a word among the numbers', 'x / mm,y\n1,2\n2,n.a.\n', /Line 3, column 2 \(y\) is "n.a."/],
    ['a missing value', 'x / mm,y\n1,2\n2\n', /Line 3, column 2 \(y\) is ""/],
    ['one column', 'x / mm\n1\n2', /no line with two columns/],
    ['nothing', '', /no line with two columns/],
    ['heading only', 'x / mm,y\n', /no numbers under it/],
    ['a position twice', 'x / mm,y\n1,2\n1,3', /must ascend/],
  ])('%s', (_, text, sentence) => {
    expect(() => csvProfile(text)).toThrow(RangeError);
    expect(() => csvProfile(text)).toThrow(sentence);
  });
  test('a column that is not there', () => {
    expect(() => csvProfile('x / mm,y\n1,2', { y: 'signal' })).toThrow(
      /headings are "x \/ mm", "y"/,
    );
  });
  test('a picture that is called .csv', () => {
    expect(() => csvProfile(Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0, 0, 0, 13))).toThrow(
      /not text/,
    );
  });
});
