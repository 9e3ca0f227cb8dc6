import { expect, test } from 'vitest';
import { fileRefusal, Refusal } from '../../kernel-lib/desk/refusal';

test.each([
  [
    'ENOSPC',
    507,
    'sheet.ipynb does not fit: the disk is full. Free some space, then it is saved by itself.',
  ],
  [
    'EROFS',
    403,
    'sheet.ipynb lies on a disk that cannot be written: make it writable or choose another folder.',
  ],
  [
    'EACCES',
    403,
    'sheet.ipynb may not be read or written by you: change its permissions or choose another folder.',
  ],
  [
    'EBUSY',
    423,
    'sheet.ipynb is held open by another program: close it there, then it is saved by itself.',
  ],
  ['ENOENT', 404, 'sheet.ipynb is not there any more.'],
])("the file system's %s becomes a sentence and a status", (code, status, sentence) => {
  const problem = fileRefusal(Object.assign(new Error(code), { code }), 'sheet.ipynb');
  expect(problem).toBeInstanceOf(Refusal);
  expect(problem).toMatchObject({ status, message: sentence });
});

test('an error that is not of the file system passes through', () => {
  const error = new TypeError('other');
  expect(fileRefusal(error, 'sheet.ipynb')).toBe(error);
});
