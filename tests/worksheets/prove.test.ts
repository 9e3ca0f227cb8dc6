import { describe, expect, test } from 'vitest';
import { proveSheet, provingStudents } from '../../kernel-lib/questions/prove';
import type { AnyKey } from '../../kernel-lib/questions/sheet';
import parallelBeam from '../../worksheets/01-a-parallel-beam/key';
import oneSlit from '../../worksheets/02-one-slit/key';
import twoSlits from '../../worksheets/03-two-slits/key';
import moreSlits from '../../worksheets/04-three-and-four-slits/key';
import grating from '../../worksheets/05-from-slits-to-a-grating/key';
import spectrometer from '../../worksheets/06-reading-the-spectrometer/key';
import ownPattern from '../../worksheets/07-your-own-pattern/key';

const keys: AnyKey[] = [
  parallelBeam,
  oneSlit,
  twoSlits,
  moreSlits,
  grating,
  spectrometer,
  ownPattern,
];

describe.each(keys.map((key) => [key.sheet.name, key] as const))('%s', (_, key) => {
  test('holds for 100 student numbers: answers, rounding, slips, hints', async () => {
    const proof = await proveSheet(key, { students: [...provingStudents(99), '000000'] });
    expect(proof.failures).toEqual([]);
    expect(proof.students).toBe(100);
  });
});
