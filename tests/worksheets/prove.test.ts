import { expect, test } from 'vitest';
import { proveSheet, provingStudents } from '../../kernel-lib/questions/prove';
import { keyNamed, names } from './sheets';

/** Here only a few: tests/cli/prove.test.ts has the command prove more, model notebooks among them. */
const students = [...provingStudents(19), '000000'];

test.each(names)('%s holds: answers, rounding, slips, hints', async (name) => {
  const proof = await proveSheet(await keyNamed(name), { students });
  expect(proof.failures).toEqual([]);
  expect(proof.students).toBe(20);
});
