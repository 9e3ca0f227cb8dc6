import { beforeEach, describe, expect, test } from 'vitest';
import type { MimeBundle } from '../../kernel-lib/display/bundle';
import { setDisplayPort } from '../../kernel-lib/display/display';
import { givensFor } from '../../kernel-lib/questions/draw';
import type { AnySheet } from '../../kernel-lib/questions/sheet';
import { sampleStudent } from '../../kernel-lib/questions/student-number';
import { begin, endWork, setSheetSource } from '../../kernel-lib/questions/work';

/** What `begin` shows, as a reader of HTML or of text sees it. */
const sheet = (tells?: AnySheet['tells']): AnySheet => ({
  name: '08-a-hair',
  title: 'A hair <in> the beam',
  givens: (draw) => ({ diameter: draw.between('diameter', 50e-6, 90e-6, 1e-6) }),
  ...(tells ? { tells } : {}),
  questions: [
    { kind: 'written', id: '8.1', asks: 'Why', marks: 3 },
    { kind: 'written', id: '8.2', asks: 'How', marks: 4 },
  ],
});

let shown: MimeBundle | undefined;
beforeEach(() => {
  endWork();
  setDisplayPort({
    show: (bundle) => {
      shown = bundle;
    },
  });
});

function bundleOf(tells: AnySheet['tells'] | undefined, student = '204117') {
  setSheetSource(() => sheet(tells));
  begin('08-a-hair', student);
  return { html: String(shown?.['text/html']), text: String(shown?.['text/plain']) };
}

const head = 'A hair &lt;in&gt; the beam. Student 204117, 2 questions, 7 marks.';

test('a sheet that tells nothing shows its head and no list', () => {
  const { html, text } = bundleOf(undefined);
  expect(html).toBe(`<p>${head}</p>`);
  expect(text).toBe('A hair <in> the beam. Student 204117, 2 questions, 7 marks.');
  expect(bundleOf(() => []).html).toBe(`<p>${head}</p>`);
});

test('what it tells is a list, each line an item, with its signs escaped', () => {
  const { html, text } = bundleOf(() => ['Width < 90 µm', 'Angle "small"']);
  expect(html).toBe(
    `<p>${head}</p><ul><li>Width &lt; 90 µm</li><li>Angle &quot;small&quot;</li></ul>`,
  );
  expect(text.split('\n').slice(1)).toEqual(['  Width < 90 µm', '  Angle "small"']);
});

test('the sample student is told so before all else, in both forms', () => {
  const { html, text } = bundleOf(undefined, sampleStudent);
  expect(html).toMatch(
    /^<p><strong>These are the numbers of the sample student\..*<\/strong><\/p><p>A hair/,
  );
  expect(text).toMatch(/^These are the numbers of the sample student\..*\nA hair/);
});

test('the givens are those that belong to sheet and number, told to the sheet as they are', () => {
  let told: object | undefined;
  bundleOf((given) => {
    told = given;
    return [];
  });
  expect(told).toEqual(givensFor(sheet(), '204117'));
  setSheetSource(() => sheet());
  expect(begin('08-a-hair', '204117')).toEqual(told);
});

describe('givens cannot be changed', () => {
  const drawn = () => ({
    diameter: 70e-6,
    profile: { positions: [1e-3, 2e-3], noise: 25 },
    known: [{ order: 1, left: 0.3 }],
    get photograph() {
      return new Uint8Array([1, 2]);
    },
  });
  function begun(): ReturnType<typeof drawn> {
    setSheetSource(() => ({ ...sheet(), givens: drawn }));
    return begin('08-a-hair', '204117');
  }
  const copy = (list: string) =>
    `Copy the list first, and change the copy: const mine = \\[\\.\\.\\.${list}\\];`;

  test.each([
    ['given.diameter = 1', /^given\.diameter belongs to your sheet .* const myDiameter = …;$/],
    ['given.diameter *= 2', /^given\.diameter belongs to your sheet/],
    ['given.another = 1', /^given\.another belongs to your sheet/],
    ['delete given.diameter', /^given\.diameter belongs to your sheet/],
    ['Object.assign(given, { diameter: 1 })', /^given\.diameter belongs/],
    ['given.profile.noise = 0', /^given\.profile\.noise belongs .* const myNoise = …;$/],
    ['given.profile.positions[1] = 0', new RegExp(copy('given.profile.positions'))],
    ['given.profile.positions.push(3)', new RegExp(copy('given.profile.positions'))],
    ['given.profile.positions.sort((a, b) => b - a)', new RegExp(copy('given.profile.positions'))],
    ['given.profile.positions.length = 1', /^given\.profile\.positions belongs/],
    ['given.known[0].left = 0', /^given\.known\[0\]\.left belongs/],
  ])('%s', (code, sentence) => {
    // Code that is not strict would otherwise say nothing at all (ECMA-262, 10.1.9.2 and 13.15.2; from memory).
    for (const head of ['', "'use strict'; "]) {
      const given = begun();
      const before = JSON.stringify(given);
      expect(() => new Function('given', head + code)(given)).toThrow(sentence);
      expect(JSON.stringify(given)).toBe(before);
    }
  });

  test('they are read, copied and computed with as ever', () => {
    const given = begun();
    const { diameter, profile } = given;
    expect([diameter, ...profile.positions, given.known.map(({ order }) => order)]).toEqual([
      70e-6,
      1e-3,
      2e-3,
      [1],
    ]);
    expect(Array.isArray(profile.positions)).toBe(true);
    const mine = { ...given, profile: { ...profile, positions: [...profile.positions] } };
    mine.diameter = 1;
    mine.profile.positions.push(3);
    expect([mine.diameter, mine.profile.positions.length]).toEqual([1, 3]);
    expect([...given.photograph]).toEqual([1, 2]);
  });
});
