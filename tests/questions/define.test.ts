import { describe, expect, expectTypeOf, test } from 'vitest';
import { defineKey, defineSheet } from '../../kernel-lib/questions/define';
import type { NumberQuestion } from '../../kernel-lib/questions/kinds/number';
import type { AnyKey, AnySheet, Sheet } from '../../kernel-lib/questions/sheet';
import { sampleKey, sampleSheet } from './sample-sheet';

test('the type of the givens reaches every formula', () => {
  const sheet = defineSheet({
    name: 'types',
    title: 'Types',
    givens: (draw) => ({ width: draw.between('w', 1, 2, 1), colours: ['red', 'green'] as const }),
    tells: (given) => {
      expectTypeOf(given).toEqualTypeOf<{ width: number; colours: readonly ['red', 'green'] }>();
      return [];
    },
    questions: [
      {
        kind: 'number',
        id: '1.1',
        asks: 'Width',
        marks: 1,
        unit: 'm',
        expected: (given) => {
          expectTypeOf(given.width).toEqualTypeOf<number>();
          return given.width;
        },
        tolerance: { relative: 0.01 },
        slips: [
          {
            name: 'half',
            value: (given) => given.width / 2,
            hint: (given, shown) => {
              expectTypeOf(given.colours[0]).toEqualTypeOf<'red'>();
              expectTypeOf(shown).toEqualTypeOf<string>();
              return shown;
            },
          },
        ],
      },
      {
        kind: 'function',
        id: '1.2',
        asks: 'Function',
        marks: 1,
        signature: '(x: number) => number',
        points: (given) => [[given.width]],
        expected: (given, x) => {
          expectTypeOf(x).toEqualTypeOf<number>();
          return x * given.width;
        },
        tolerance: { relative: 0.01 },
        slips: [],
      },
    ],
  });
  expectTypeOf(sheet).toEqualTypeOf<Sheet<{ width: number; colours: readonly ['red', 'green'] }>>();
  expectTypeOf(sheet).toExtend<AnySheet>();
  const [width] = sheet.questions;
  if (width.kind === 'number') {
    // @ts-expect-error no such given
    expect(width.expected({ wdth: 1 })).toBeUndefined();
  }
});

describe('what defineSheet refuses, naming the question', () => {
  const number: NumberQuestion<object> = {
    kind: 'number',
    id: '2.1',
    asks: 'A number',
    marks: 1,
    unit: 'mm',
    expected: () => 1,
    tolerance: { relative: 0.01 },
    slips: [],
  };
  const sheet =
    (more: object, top: object = {}) =>
    () =>
      defineSheet({
        name: '02-one-slit',
        title: 'One slit',
        givens: () => ({}),
        questions: [{ ...number, ...more }],
        ...top,
      } as AnySheet);

  test.each([
    ['an id', { id: '2.a' }, /02-one-slit, question 2\.a: an id looks like 2\.3/],
    ['the id of another sheet', { id: '3.1' }, /the questions of this sheet begin with 2/],
    ['marks', { marks: 1.5 }, /marks are a whole number above 0; they are 1\.5/],
    ['no marks', { marks: 0 }, /they are 0/],
    ['no title', { asks: ' ' }, /`asks` needs a short title/],
    ['a unit', { unit: 'furlong' }, /the unit "furlong" is not known/],
    ['no unit', { unit: undefined }, /the unit undefined is not known/],
    ['a tolerance of 0', { tolerance: { relative: 0 } }, /must be above 0; it is 0/],
    ['a percentage', { tolerance: { relative: 5 } }, /0\.005 means 0\.5 %/],
    ['two tolerances', { tolerance: { relative: 0.1, absolute: 1 } }, /is one of/],
    ['another tolerance', { tolerance: { sigmas: 1 } }, /is one of/],
    ['uncertainties alone', { tolerance: { uncertainties: 2 } }, /needs `uncertainty: \(given\)/],
    ['many uncertainties', { tolerance: { uncertainties: 20 } }, /2 or 3 are usual/],
    [
      'an uncertainty that must be exactly the sound one',
      { tolerance: { uncertainties: 2 }, uncertainty: () => 1, uncertaintyWithin: 1 },
      /`uncertaintyWithin` is a factor above 1/,
    ],
    [
      'a factor without an uncertainty',
      { tolerance: { uncertainties: 2 }, uncertaintyWithin: 1.2 },
      /needs `uncertainty/,
    ],
    [
      'twin slips',
      { slips: [1, 2].map((wrong) => ({ name: 'twin', value: () => wrong, hint: '' })) },
      /two slips are called “twin”/,
    ],
    ['a slip without a name', { slips: [{ value: Math.random, hint: '' }] }, /a slip has no name/],
    ['a sealed kind', { kind: 'sealed', answer: 'colour' }, /`answer` is 'number', 'list'/],
    ['a function without signature', { kind: 'function', signature: '' }, /needs its signature/],
  ])('%s', (_name, more, message) => expect(sheet(more)).toThrow(message));

  test('twice the same id, no questions, a bad name, no title', () => {
    expect(sheet({}, { questions: [number, number] })).toThrow(/two questions are 2\.1/);
    expect(sheet({}, { questions: [] })).toThrow(/it has no questions/);
    expect(sheet({}, { name: 'One Slit' })).toThrow(/small letters, digits and hyphens/);
    expect(sheet({}, { title: '' })).toThrow(/needs a title/);
  });
});

describe('what defineSheet takes, up to where it refuses', () => {
  const sealed = { kind: 'sealed', asks: 'Width', marks: 1 };
  const f = {
    kind: 'function',
    asks: 'Height',
    marks: 1,
    signature: '(x: number) => number',
    points: () => [[1]],
    expected: () => 1,
    tolerance: { relative: 0.01 },
    slips: [],
  };
  const number = { ...f, kind: 'number', unit: 'mm' };
  const sheet = (more: object, name = '12-slits', title = 'Slits') =>
    defineSheet({ name, title, givens: () => ({}), questions: [more] } as unknown as AnySheet);

  test.each([
    ['an id of two digits each', { ...number, id: '12.10' }],
    ['a tolerance in parts of the unit', { ...number, id: '12.1', tolerance: { absolute: 1e3 } }],
    ['a relative tolerance below a half', { ...number, id: '12.1', tolerance: { relative: 0.49 } }],
    [
      'five uncertainties, with the sound one',
      { ...number, id: '12.1', tolerance: { uncertainties: 5 }, uncertainty: () => 1 },
    ],
    ['a sealed number', { ...sealed, id: '12.1', answer: 'number', unit: 'mm' }],
    ['a sealed list', { ...sealed, id: '12.1', answer: 'list', unit: '1' }],
    ['a sealed word, without unit', { ...sealed, id: '12.1', answer: 'word' }],
    ['a sealed function', { ...sealed, id: '12.1', answer: 'function', signature: '() => number' }],
    ['a function', { ...f, id: '12.1' }],
  ])('%s', (_name, question) => {
    expect(sheet(question).questions).toEqual([question]);
  });

  test.each([
    ['half of the value', { ...number, id: '12.1', tolerance: { relative: 0.5 } }, /lets nearly/],
    ['no tolerance', { ...number, id: '12.1', tolerance: undefined }, /the tolerance is one of/],
    ['an empty tolerance', { ...number, id: '12.1', tolerance: {} }, /the tolerance is one of/],
    ['an id that begins later', { ...number, id: 'x12.1' }, /an id looks like/],
    ['an id that goes on', { ...number, id: '12.1b' }, /an id looks like/],
    ['an id with a 0 before', { ...number, id: '12.01' }, /an id looks like/],
    ['no id', { ...number, id: undefined }, /an id looks like/],
    ['no title', { ...number, id: '12.1', asks: undefined }, /needs a short title/],
    ['a slip of blanks', { ...f, id: '12.1', slips: [{ name: ' ' }] }, /a slip has no name/],
    ['a sealed number without unit', { ...sealed, id: '12.1', answer: 'number' }, /unit undefined/],
    ['a sealed list without unit', { ...sealed, id: '12.1', answer: 'list' }, /unit undefined/],
    ['a sealed function unsigned', { ...sealed, id: '12.1', answer: 'function' }, /its signature/],
    [
      'a function in uncertainties',
      { ...f, id: '12.1', tolerance: { uncertainties: 2 } },
      /uncertainty/,
    ],
  ])('not: %s', (_name, question, message) => {
    expect(() => sheet(question)).toThrow(message);
  });

  test('names: where a number leads it, the ids begin with it', () => {
    const at = (name: string, id: string) => () => sheet({ ...number, id }, name);
    expect(at('002-slits', '2.1')).not.toThrow();
    expect(at('002-slits', '3.1')).toThrow(/begin with 2/);
    expect(at('slits-4-a', '7.1')).not.toThrow();
    expect(at('slits', '7.1')).not.toThrow();
    expect(at('slits/x', '7.1')).toThrow(/small letters/);
    expect(() => sheet({ ...number, id: '12.1' }, undefined, '  ')).toThrow(/needs a title/);
    const nameless = { title: 'x', givens: () => ({}), questions: [{ ...number, id: '1.1' }] };
    expect(() => defineSheet(nameless as unknown as AnySheet)).toThrow(/^Sheet undefined: a name/);
    const untitled = { ...nameless, name: 'x' };
    expect(() => defineSheet({ ...untitled, title: undefined } as unknown as AnySheet)).toThrow(
      /needs a title/,
    );
  });
});

describe('what defineKey refuses', () => {
  const open = sampleKey.sealed['2.5'];
  const key = (more: object) => () => defineKey({ ...sampleKey, ...more } as AnyKey);

  test.each([
    ['a sealed question without its open form', { sealed: {} }, /question 2\.5: it is sealed/],
    ['another id', { sealed: { '2.5': { ...open, id: '2.4' } } }, /open form has the id 2\.4/],
    [
      'another kind',
      { sealed: { '2.5': { ...open, kind: 'list' } } },
      /announces a number, the key holds a list/,
    ],
    ['other marks', { sealed: { '2.5': { ...open, marks: 3 } } }, /sheet gives 4 marks, the key 3/],
    ['another unit', { sealed: { '2.5': { ...open, unit: 'cm' } } }, /asks for mm, the key for cm/],
    ['a bad tolerance', { sealed: { '2.5': { ...open, tolerance: { relative: -1 } } } }, /above 0/],
    ['too much', { sealed: { '2.5': open, '2.9': open } }, /no sealed question 2\.9/],
    ['no scheme', { schemes: {} }, /question 2\.6: it is written/],
    [
      'a scheme that does not add up',
      { schemes: { '2.6': [{ marks: 3, point: '' }] } },
      /adds up to 3 marks, the sheet gives 4/,
    ],
    [
      'a scheme too much',
      { schemes: { ...sampleKey.schemes, '2.1': [] } },
      /no written question 2\.1/,
    ],
  ])('%s', (_name, more, message) => expect(key(more)).toThrow(message));

  test('a list in another unit than its sealed question announces', () => {
    const questions = sampleSheet.questions.map((question) =>
      question.kind === 'sealed' ? { ...question, answer: 'list' as const } : question,
    );
    const asList = (unit: string) =>
      key({
        sheet: { ...sampleSheet, questions },
        sealed: { '2.5': { ...open, kind: 'list', expected: () => [1e-3], unit, slips: [] } },
      });
    expect(asList('cm')).toThrow(/asks for mm, the key for cm/);
    expect(asList('mm')).not.toThrow();
  });

  test('it takes a sound one, and returns it', () => {
    expect(defineKey(sampleKey)).toBe(sampleKey);
    expect(sampleKey.sheet).toBe(sampleSheet);
  });
});
