import { expect, test } from 'vitest';
import { proveSheet, provingStudents } from '../../kernel-lib/questions/prove';
import { keyNamed, names } from './sheets';

test.each(names)(
  '%s holds for 100 student numbers: answers, rounding, slips, hints',
  async (name) => {
    const students = [...provingStudents(99), '000000'];
    const proof = await proveSheet(await keyNamed(name), { students });
    expect(proof.failures).toEqual([]);
    expect(proof.students).toBe(100);
  },
);
