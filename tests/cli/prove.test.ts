import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { proofText } from '../../kernel-lib/cli/prove';
import { sheetNames } from '../../kernel-lib/kernel/sheets';
import type { Proof } from '../../kernel-lib/questions/prove';
import { scratch } from '../scratch';
import { hang, multislit } from './multislit';

const { at } = scratch('prove-');

/** `MULTISLIT_PROVE=60` has so many student numbers tried, as a release does. */
const students = Number(process.env.MULTISLIT_PROVE ?? 10);

test(`every sheet holds over ${students} student numbers: model answers, blank, slips and hints`, {
  // The photographs of sheet 7 take some seconds a student.
  timeout: hang + 20_000 * students,
}, async () => {
  const json = at('proof.json');
  const { code, out } = await multislit(['prove', '--students', String(students), '--json', json]);
  expect(out).toContain(`All holds: ${sheetNames().length} sheets, ${students} student numbers`);
  expect(code).toBe(0);
  const proofs: Proof[] = JSON.parse(readFileSync(json, 'utf8'));
  expect(proofs.map(({ sheet }) => sheet)).toEqual(sheetNames());
  for (const proof of proofs) {
    expect(proof.failures).toEqual([]);
    expect(proof.students).toBe(students);
    expect(proof.questions).toBeGreaterThanOrEqual(6);
    expect(proof.slips).toBeGreaterThanOrEqual(3 * (proof.questions - 3));
  }
});

test('a sheet that is not there is told with those that are', async () => {
  const { code, err } = await multislit(['prove', '99-nothing']);
  expect(code).toBe(1);
  expect(err).toMatch(/no sheet "99-nothing".*There are: .*02-one-slit/);
});

test('a count that is none is a word out of place', async () => {
  const { code, err } = await multislit(['prove', '--students', 'many']);
  expect(code).toBe(2);
  expect(err).toMatch(/whole number from 1 to 100000/);
});

test('failures that differ only by numbers are told once, with a student to try', () => {
  const what = (n: number) => `the slip “half” is taken for the value ${n}.5`;
  const failures = [1, 2, 3].map((n) => ({ student: `100${n}`, question: '2.1', what: what(n) }));
  const proof = {
    sheet: '02-x',
    questions: 7,
    slips: 20,
    students: 3,
    judged: 90,
    failures,
    nearest: [],
  };
  expect(proofText(proof).split('\n')).toEqual([
    '02-x: 7 questions, 20 slips, 3 student numbers, 90 answers judged. 3 FAILURES:',
    '  3 × 2.1: the slip “half” is taken for the value 1.5 (student 1001)',
  ]);
  expect(proofText({ ...proof, failures: [] })).toMatch(/Holds\.$/);
  const near = (times: number) => ({ question: '2.1', slip: 'half', student: '1003', times });
  const tight = proofText({ ...proof, failures: [], nearest: [near(1.24), near(3.1)] });
  expect(tight.split('\n').slice(1)).toEqual([
    '  Near: 2.1 “half” is 1.2 tolerances off for student 1003.',
  ]);
});

test('one is told as one', () => {
  const counts = { sheet: '02-x', questions: 7, slips: 1, students: 1, judged: 90 };
  const one = { ...counts, failures: [], nearest: [] };
  expect(proofText(one)).toMatch(/7 questions, 1 slip, 1 student number, 90 answers judged/);
});
