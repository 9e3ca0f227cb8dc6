import { describe, expect, test } from 'vitest';
import { findKey } from '../../kernel-lib/kernel/sheets';
import { judgeReturn } from '../../kernel-lib/marking/judge-return';
import type { PlainAnswer } from '../../kernel-lib/questions/answer';
import { judgeCarried } from '../../kernel-lib/questions/carried';
import { defineKey } from '../../kernel-lib/questions/define';
import { givensFor } from '../../kernel-lib/questions/draw';
import { proveSheet } from '../../kernel-lib/questions/prove';
import type { AnyKey, Key } from '../../kernel-lib/questions/sheet';

const number = (value: number): PlainAnswer => ({ is: 'number', value });
const keyOf = (sheet: string): AnyKey => findKey(sheet) as AnyKey;
const marksOf = (sheet: string, student: string, answers: Record<string, PlainAnswer>) => {
  const key = keyOf(sheet);
  const marks = judgeReturn(key, givensFor(key.sheet, student), new Map(Object.entries(answers)));
  return Object.fromEntries(marks.map((mark) => [mark.question, mark]));
};
const students = ['204117', '0042', '1234567890'];

/** Each expectation is worked out here by hand, from the sheet's own text, not by its key. */
describe('errors carried forward in the sheets', () => {
  test.each(students)('one slit, student %s: 2.2 follows 2.1, 2.8 follows 2.7', (student) => {
    const given = givensFor(keyOf('02-one-slit').sheet, student) as Record<string, number>;
    // x = f tan θ on both sides, with an angle of 1° in place of the right one.
    const band = 2 * given.focalLength * Math.tan(Math.PI / 180) * 1000;
    // A width of 30 µm: its relative uncertainty is that of f, λ and a slope fλ/a.
    const width = 30e-6;
    const orders = [1, 2, 3, 4].reduce((sum, m) => sum + 2 * m * m, 0);
    const slope = (given.focalLength * given.wavelength) / width;
    const u =
      width *
      Math.sqrt(
        (given.focalLengthUncertainty / given.focalLength) ** 2 +
          (given.wavelengthUncertainty / given.wavelength) ** 2 +
          (given.readingUncertainty / Math.sqrt(orders) / slope) ** 2,
      );
    const marks = marksOf('02-one-slit', student, {
      '2.1': number(1),
      '2.2': number(Number(band.toPrecision(3))),
      '2.7': number(30),
      '2.8': number(Number((u * 1e6).toPrecision(2))),
    });
    expect(marks['2.2']).toMatchObject({ marks: 1, outOf: 2, follows: '2.1', state: 'not yet' });
    expect(marks['2.8']).toMatchObject({ marks: 2, outOf: 2, follows: '2.7', state: 'agrees' });
    expect(marks['2.2'].message).toMatch(
      /mm is right for your own answer to 2\.1, which is not right itself; .* 1 of 2\.$/,
    );
    // The values of another student's error are wrong here.
    const other = marksOf('02-one-slit', student, { '2.1': number(2), '2.2': number(band) });
    expect([other['2.2'].marks, other['2.2'].follows]).toEqual([0, undefined]);
  });

  test.each(students)('a parallel beam, student %s: 1.2 follows 1.1', (student) => {
    const given = givensFor(keyOf('01-a-parallel-beam').sheet, student) as Record<string, number>;
    // The image seen from the camera lens: 123 µm over its focal length, in seconds of arc.
    const seconds = ((123e-6 / given.focalLength) * 180 * 3600) / Math.PI;
    const marks = marksOf('01-a-parallel-beam', student, {
      '1.1': number(123),
      '1.2': number(seconds),
    });
    expect(marks['1.2']).toMatchObject({ marks: 1, follows: '1.1' });
  });

  test.each(students)(
    'the spectrometer, student %s: 6.5 follows 6.4, with uncertainties',
    (student) => {
      const given = givensFor(keyOf('06-reading-the-spectrometer').sheet, student) as {
        unknown: { order: number; left: number; right: number }[];
      };
      // d sin θ = m λ with the spacing that the label says.
      const spacing = 1e6 / 600;
      const found = given.unknown.map(({ order, left, right }) => {
        const turn = Math.abs(left - right) % (2 * Math.PI);
        return (spacing * Math.sin(Math.min(turn, 2 * Math.PI - turn) / 2)) / order;
      });
      const key = keyOf('06-reading-the-spectrometer');
      const form = key.sheet.questions.find(({ id }) => id === '6.5');
      if (form?.kind !== 'list') throw new Error('6.5 is no list');
      const sound = form.uncertainty?.(given) ?? [];
      const items = found.map(
        (value, i): PlainAnswer => ({ is: 'measured', value, u: sound[i] * 1e9 }),
      );
      const answers = {
        '6.4': { is: 'measured', value: spacing, u: 0.06 } as const,
        '6.5': { is: 'list', items } as const,
      };
      expect(marksOf(key.sheet.name, student, answers)['6.5']).toMatchObject({
        marks: 2,
        follows: '6.4',
      });
      // From a spacing two thirds as large, and the uncertainty that the angles alone would still give: √2 is not at stake.
      const short = items.map((item) => ({
        ...item,
        value: (item as { value: number }).value / 1.5,
      }));
      const onward = {
        '6.4': { is: 'measured', value: spacing / 1.5, u: 0.06 } as const,
        '6.5': { is: 'list', items: short as PlainAnswer[] } as const,
      };
      expect(marksOf(key.sheet.name, student, onward)['6.5']).toMatchObject({ marks: 2 });
      // An uncertainty that would let anything agree does not.
      const loose = items.map((item) => ({ ...item, value: 500, u: 1e6 }) as PlainAnswer);
      expect(
        marksOf(key.sheet.name, student, { ...answers, '6.5': { is: 'list', items: loose } })['6.5']
          .marks,
      ).toBe(0);
    },
  );

  test('7.8 follows 7.6: the same share of another spacing', () => {
    const key = keyOf('07-your-own-pattern');
    const given = givensFor(key.sheet, '204117');
    const [form, list] = [key.sealed['7.8'], key.sheet.questions.find(({ id }) => id === '7.6')];
    if (form.kind !== 'number' || list?.kind !== 'list')
      throw new Error('7.6 or 7.8 is of another kind');
    const [spacing, width] = list.expected(given);
    const share = form.expected(given) / spacing;
    const marks = marksOf(key.sheet.name, '204117', {
      '7.6': { is: 'list', items: [number(2e6 * spacing), number(1e6 * width)] },
      '7.8': number(Number((2e6 * spacing * share).toPrecision(2))),
    });
    expect(marks['7.8']).toMatchObject({ marks: 3, follows: '7.6' });
  });

  test.each([
    '01-a-parallel-beam',
    '02-one-slit',
    '06-reading-the-spectrometer',
    '07-your-own-pattern',
  ])(
    'prove finds what follows in %s sound',
    async (sheet) => {
      const { failures } = await proveSheet(keyOf(sheet), { students: 12 });
      // A sample of students may miss a rare slip; of what is carried nothing may be wrong.
      expect(failures.filter(({ what }) => /follow|carried|taken for/.test(what))).toEqual([]);
    },
    60_000,
  );
});

describe('what is carried forward', () => {
  type Given = { length: number };
  const key = (carried: Key<Given>['carried']): Key<Given> => ({
    sheet: {
      name: '09-a-rod',
      title: 'A rod',
      givens: () => ({ length: 2 }),
      questions: [
        {
          id: '9.1',
          kind: 'number',
          asks: 'Half',
          marks: 1,
          unit: 'm',
          expected: ({ length }) => length / 2,
          tolerance: { relative: 0.01 },
          slips: [
            { name: 'double', value: ({ length }) => 2 * length, hint: 'Twice.' },
            { name: 'whole', value: ({ length }) => length, hint: 'The whole.' },
            { name: 'third', value: ({ length }) => length / 3, hint: 'A third.' },
          ],
        },
        {
          id: '9.2',
          kind: 'number',
          asks: 'Its square',
          marks: 3,
          unit: 'm^2',
          expected: ({ length }) => (length / 2) ** 2,
          tolerance: { relative: 0.01 },
          slips: [
            { name: 'of the whole', value: ({ length }) => length ** 2, hint: 'Of the whole.' },
            { name: 'doubled', value: ({ length }) => 2 * (length / 2) ** 2, hint: 'Doubled.' },
            { name: 'root', value: ({ length }) => Math.sqrt(length / 2) / 3, hint: 'Root.' },
          ],
        },
      ],
    },
    sealed: {},
    model: {},
    schemes: {},
    instructor: '',
    ...(carried ? { carried } : {}),
  });
  const squared = {
    follows: '9.1',
    value: (_: Given, [half]: readonly number[]) => half ** 2,
    marks: 2,
  };
  const judged = (half: PlainAnswer, square: PlainAnswer, one = key({ '9.2': squared })) =>
    judgeCarried(
      one,
      '9.2',
      { length: 2 },
      new Map([
        ['9.1', half],
        ['9.2', square],
      ]),
    )?.marks;

  test('earns what the key says; a slip that is also what follows counts as that', () => {
    expect(judged(number(4), number(16))).toBe(2);
    expect(judged(number(2), number(4))).toBe(2);
    expect(judged(number(4), number(17))).toBeUndefined();
    expect(judged(number(4), number(16), key(undefined))).toBeUndefined();
  });

  test.each([
    ['nothing', { is: 'blank' }],
    ['zero, from which 0 follows', number(0)],
    ['no number', { is: 'number', value: 'NaN' }],
    ['without end', { is: 'number', value: 'Infinity' }],
    ['a word', { is: 'text', text: '4' }],
    ['a list', { is: 'list', items: [number(4), number(4)] }],
    ['what could not be read', { is: 'failed', problem: 'It did not end.' }],
  ] as [string, PlainAnswer][])('nothing follows from %s', (_, half) => {
    for (const square of [number(0), number(16), { is: 'blank' } as const, half])
      expect(judged(half, square)).toBeUndefined();
  });

  test('a quantity with its unit is worked on in SI', () => {
    expect(judged({ is: 'quantity', value: 4, si: 'm', text: '400 cm' }, number(16))).toBe(2);
  });

  test.each([
    [{ '9.2': { ...squared, marks: 4 } }, /whole number from 1 to 3; they are 4/],
    [{ '9.2': { ...squared, marks: 0.5 } }, /whole number from 1 to 3/],
    [{ '9.2': { ...squared, follows: '9.2' } }, /does not come before/],
    [{ '9.1': { ...squared, follows: '9.2', marks: 1 } }, /does not come before/],
    [{ '9.2': { ...squared, follows: '9.7' } }, /9\.7, which is no question with a number/],
    [{ '9.7': squared }, /no such question/],
  ])('a key that cannot hold is refused', (carried, sentence) => {
    expect(() => defineKey(key(carried))).toThrow(sentence);
    expect(defineKey(key({ '9.2': squared })).carried).toBeDefined();
  });

  test('prove finds a formula that does not lead to the right answer', async () => {
    const wrong = { ...squared, value: (_: Given, [half]: readonly number[]) => half ** 3 * 2 };
    const { failures } = await proveSheet(key({ '9.2': wrong }), { students: 2 });
    expect(failures.map(({ what }) => what)).toContain(
      'what follows from the right answer to 9.1 does not agree',
    );
    const sound = await proveSheet(key({ '9.2': squared }), { students: 2 });
    expect(sound.failures).toEqual([]);
    const nothing = { ...squared, value: () => Number.NaN };
    const none = await proveSheet(key({ '9.2': nothing }), { students: 2 });
    expect(none.failures.map(({ what }) => what)).toContain(
      'nothing follows from any slip before it',
    );
  });
});
