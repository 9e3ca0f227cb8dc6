import { afterEach, beforeEach, expect, test } from 'vitest';
import { fileBeside, setFilesBeside } from '../../kernel-lib/fitting/file-beside';
import { pictureProfile } from '../../kernel-lib/fitting/picture/picture-profile';
import { withoutMetadata } from '../../kernel-lib/fitting/picture/private-picture';
import { readPicture } from '../../kernel-lib/fitting/picture/read-picture';
import { readTable } from '../../kernel-lib/fitting/read-table';
import { greyPicture } from './picture/known-pictures';

const files = new Map([
  ['grey.png', greyPicture(30, 4, (x, y) => 5 * x + y)],
  ['scan.csv', new TextEncoder().encode('x / mm;signal\n-1,5;10\n0;20\n')],
]);
beforeEach(() =>
  setFilesBeside(
    (name) => files.get(name),
    () => [...files.keys()],
  ),
);
afterEach(() => setFilesBeside(undefined));

test('a name reads what its bytes read', () => {
  const bytes = files.get('grey.png') as Uint8Array;
  for (const name of ['grey.png', './grey.png']) {
    expect(readPicture(name).width).toBe(readPicture(bytes).width);
    expect(withoutMetadata(name)).toEqual(withoutMetadata(bytes));
  }
  const options = { pixel: 1e-5, band: { from: 0, to: 1 } };
  expect(pictureProfile('grey.png', options).y).toEqual(pictureProfile(bytes, options).y);
  expect([...readTable('scan.csv').x]).toEqual([-0.0015, 0]);
});

test('bytes are a copy: what a cell does to them stays its own', () => {
  fileBeside('scan.csv')[0] = 0;
  expect(fileBeside('scan.csv')[0]).toBe('x'.charCodeAt(0));
});

test.each([
  ['Scan.csv', /no file "Scan.csv" beside the notebook. Is "scan.csv" meant\? Capital letters/],
  ['other.csv', /no file "other.csv" .* There are: grey.png, scan.csv\./],
  ['data/scan.csv', /not the plain name of a file/],
  ['../scan.csv', /not the plain name of a file/],
  ['/etc/passwd', /not the plain name of a file/],
  ['C:scan.csv', /not the plain name of a file/],
  ['.secret', /not the plain name of a file/],
])('%s is told', (name, says) => {
  expect(() => fileBeside(name)).toThrow(says);
  expect(() => fileBeside(name)).toThrow(RangeError);
});

test('where nothing gives files, that there are none is told', () => {
  setFilesBeside(undefined);
  expect(() => fileBeside('a.csv')).toThrow(/no file "a.csv" .* No file lies there/);
  expect(() => fileBeside('')).toThrow(TypeError);
});
