import { readFileSync, writeFileSync } from 'node:fs';
import { expect, test, vi } from 'vitest';
import { writeWhole } from '../../kernel-lib/kernel/files';
import { scratch } from '../scratch';

const failing = vi.hoisted(() => ({ code: '' }));
vi.mock('write-file-atomic', () => ({
  default: async () => {
    throw Object.assign(new Error(failing.code), { code: failing.code });
  },
}));

const { at } = scratch('multislit-files-');

// What Windows answers when a table is open in a spreadsheet (common practice, no source): EBUSY, or EPERM on renaming.
test.each([
  [
    'EBUSY',
    /marks\.csv cannot be written: another program has it open \(a spreadsheet\?\); close it there/,
  ],
  ['EPERM', /this account may not use it/],
  ['ENOSPC', /the disk is full/],
])('%s is told with the mend, and the old file stays', async (code, sentence) => {
  const path = at('marks.csv');
  writeFileSync(path, 'old');
  failing.code = code;
  await expect(writeWhole(path, 'new')).rejects.toThrow(sentence);
  await expect(writeWhole(path, 'new')).rejects.toThrow(/What stood there is untouched/);
  expect(readFileSync(path, 'utf8')).toBe('old');
});

test('on Windows a refused renaming may mean an open table', async () => {
  const before = Object.getOwnPropertyDescriptor(process, 'platform')!;
  Object.defineProperty(process, 'platform', { ...before, value: 'win32' });
  try {
    failing.code = 'EPERM';
    await expect(writeWhole(at('x.csv'), '')).rejects.toThrow(/or another program has it open/);
  } finally {
    Object.defineProperty(process, 'platform', before);
  }
});
