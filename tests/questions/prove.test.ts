import { expect, test } from 'vitest';
import { plainAnswer } from '../../kernel-lib/questions/answer';
import type { NumberQuestion } from '../../kernel-lib/questions/kinds/number';
import { proveSheet, provingStudents } from '../../kernel-lib/questions/prove';
import type { AnyKey } from '../../kernel-lib/questions/sheet';

interface Given {
  width: number;
}
const sound: NumberQuestion<Given> = {
  kind: 'number',
  id: '1.1',
  asks: 'Width',
  marks: 2,
  unit: 'um',
  expected: ({ width }) => width,
  tolerance: { relative: 0.01 },
  slips: [
    { name: 'half', value: ({ width }) => width / 2, hint: 'Half.' },
    { name: 'double', value: ({ width }) => width * 2, hint: 'Double.' },
    { name: 'tenfold', value: ({ width }) => width * 10, hint: 'Tenfold.' },
  ],
};
const keyWith = (
  more: Partial<NumberQuestion<Given>>,
  givens = (width: number): Given => ({ width }),
): AnyKey => ({
  sheet: {
    name: '01-proof',
    title: 'Proof',
    givens: (draw) => givens(draw.between('width', 20e-6, 60e-6, 0.5e-6)),
    questions: [{ ...sound, ...more }],
  },
  sealed: {},
  model: {},
  schemes: {},
  instructor: '',
});
const prove = async (more: Partial<NumberQuestion<Given>>) =>
  (await proveSheet(keyWith(more), { students: 20 })).failures.map(({ what }) => what);
const slip = (name: string, value: (given: Given) => number, hint = 'A hint.') => ({
  name,
  value,
  hint,
});

test('a sound sheet has no failures, and the counts say what was done', async () => {
  const proof = await proveSheet(keyWith({}), { students: 30 });
  expect(proof).toMatchObject({
    sheet: '01-proof',
    students: 30,
    questions: 1,
    slips: 3,
    failures: [],
  });
  // Eleven odd answers, the expected value and three slips, each exact and rounded.
  expect(proof.judged).toBe(30 * (11 + 2 + 6));
});

test('student numbers are always the same, all different, 4 to 10 digits', () => {
  const numbers = provingStudents(500);
  expect(numbers).toEqual(provingStudents(500));
  expect(provingStudents(100)).toEqual(numbers.slice(0, 100));
  expect(new Set(numbers).size).toBe(500);
  for (const number of numbers) expect(number).toMatch(/^\d{4,10}$/);
  expect(numbers.some((number) => number.startsWith('0'))).toBe(true);
});

test.each<[string, Partial<NumberQuestion<Given>>, RegExp]>([
  [
    'an expected value that is not finite',
    { expected: () => Number.NaN },
    /expected value is not finite: NaN/,
  ],
  [
    'a formula that throws',
    {
      expected: () => {
        throw new Error('sqrt of −1');
      },
    },
    /stops with an error: Error: sqrt of −1/,
  ],
  [
    'a tolerance narrower than honest rounding',
    { expected: ({ width }) => width * 1.00449, tolerance: { relative: 1e-4 } },
    /narrower than honest rounding/,
  ],
  ['a relative tolerance of nothing', { expected: () => 0 }, /a relative tolerance has no width/],
  [
    'a slip that agrees',
    { slips: [...sound.slips, slip('near', ({ width }) => width * 1.005)] },
    /the slip “near” agrees: it is nearer than the tolerance/,
  ],
  [
    'two slips that are one',
    { slips: [...sound.slips, slip('again', ({ width }) => width * 2)] },
    /the slip “again” is taken for “double”/,
  ],
  [
    'a slip that never happens',
    { slips: [...sound.slips, slip('never', () => Number.NaN)] },
    /“never” has no finite value for any student/,
  ],
  [
    'too few slips',
    { slips: sound.slips.slice(1) },
    /it has 2 slips; a numeric question has at least 3/,
  ],
  [
    'a hint that tells the answer',
    {
      slips: [
        ...sound.slips.slice(1),
        {
          name: 'telling',
          value: ({ width }) => width / 3,
          hint: ({ width }) => `It is ${(width * 1e6).toFixed(1)} µm.`,
        },
      ],
      expected: ({ width }) => width,
    },
    /the hint of the slip “telling” tells the expected value \d\d\.5/,
  ],
])('%s is a failure', async (_name, more, message) => {
  expect((await prove(more)).some((what) => message.test(what))).toBe(true);
});

test('words: those accepted agree, slips are told apart, hints do not tell', async () => {
  const key = keyWith({});
  const word = (hint: string, words: string[]) => ({
    kind: 'word' as const,
    id: '1.1',
    asks: 'Colour',
    marks: 1,
    accepts: () => ['blue-green'],
    slips: [{ name: 'sky', words, hint }],
  });
  const failures = async (hint: string, words: string[]) => {
    const sheet = { ...key.sheet, questions: [word(hint, words)] };
    return (await proveSheet({ ...key, sheet }, { students: 2 })).failures.map(({ what }) => what);
  };
  expect(await failures('Something is mixed in.', ['blue'])).toEqual([]);
  expect(await failures('Is it Blue-green?', ['blue'])).toContainEqual(
    expect.stringMatching(/tells the word “blue-green”/),
  );
  expect(await failures('No.', ['Blue green'])).toContainEqual(
    expect.stringMatching(/is judged otherwise/),
  );
});

test('givens that change, are not finite or cannot be drawn are failures', async () => {
  let calls = 0;
  const whats = async (givens: (width: number) => Given) =>
    (await proveSheet(keyWith({}, givens), { students: 1 })).failures.map(({ what }) => what);
  expect(await whats(() => ({ width: ++calls }))).toContain(
    'the givens come out differently when they are drawn again',
  );
  expect(await whats(() => ({ width: Number.NaN }))).toContain('the given width is NaN');
  expect(
    (
      await whats(() => {
        throw new RangeError('empty');
      })
    )[0],
  ).toMatch(/cannot be drawn: RangeError: empty/);
});

test('the model notebook is judged too, and its failures are told', async () => {
  const run = (factor: number, failed: string[] = []) => ({
    students: ['1234'],
    runModel: async (_student: string, given: object) => ({
      answers: new Map([['1.1', plainAnswer((given as Given).width * 1e6 * factor)]]),
      failed,
    }),
  });
  expect((await proveSheet(keyWith({}), run(1))).failures).toEqual([]);
  expect((await proveSheet(keyWith({}), run(2))).failures).toMatchObject([
    {
      student: '1234',
      question: '1.1',
      what: expect.stringMatching(/^the model answer is judged not yet: .*Double/),
    },
  ]);
  expect((await proveSheet(keyWith({}), run(1, ['cell a: Error: x']))).failures[0].what).toBe(
    'the model notebook fails in cell a: Error: x',
  );
  const none = { students: ['1234'], runModel: async () => ({ answers: new Map(), failed: [] }) };
  expect((await proveSheet(keyWith({}), none)).failures[0].what).toBe(
    'the model notebook gives no answer',
  );
});

test('it says how far it is, and runs the model notebook of every so many students', async () => {
  const told: number[][] = [];
  const ran: string[] = [];
  const students = ['1001', '1002', '1003', '1004', '1005'];
  const { failures } = await proveSheet(keyWith({}), {
    students,
    runModelEvery: 2,
    runModel: async (student, given) => {
      ran.push(student);
      const answer = plainAnswer((given as Given).width * 1e6);
      return { answers: new Map([['1.1', answer]]), failed: [] };
    },
    onStudent: (done, of) => told.push([done, of]),
  });
  expect(failures).toEqual([]);
  expect(told).toEqual([1, 2, 3, 4, 5].map((done) => [done, 5]));
  expect(ran).toEqual(['1001', '1003', '1005']);
});

test('a failure names its student and question, or neither where it holds for all', async () => {
  const run = {
    students: ['1234'],
    runModel: async () => {
      throw new Error('no kernel');
    },
  };
  expect((await proveSheet(keyWith({}), run)).failures).toEqual([
    { student: '1234', question: '', what: 'the model notebook does not run: Error: no kernel' },
  ]);
  const few = await proveSheet(keyWith({ slips: sound.slips.slice(1) }), { students: 2 });
  expect(few.failures).toEqual([
    { student: '', question: '1.1', what: expect.stringMatching(/^it has 2 slips/) },
  ]);
  const bad = keyWith({}, () => ({ width: Number.NaN }));
  expect((await proveSheet(bad, { students: ['1234'] })).failures[0]).toEqual({
    student: '1234',
    question: '',
    what: 'the given width is NaN',
  });
});

test('where the givens cannot be drawn nothing else is tried', async () => {
  let ran = 0;
  const key = keyWith({}, () => {
    throw new RangeError('empty');
  });
  const proof = await proveSheet(key, {
    students: ['1234'],
    runModel: async () => {
      ran++;
      return { answers: new Map(), failed: [] };
    },
  });
  expect([ran, proof.judged]).toEqual([0, 0]);
  expect(proof.failures[0]).toMatchObject({ student: '1234', question: '' });
});
