import { beforeEach, expect, test } from 'vitest';
import type { MimeBundle } from '../../kernel-lib/display/bundle';
import { setDisplayPort } from '../../kernel-lib/display/display';
import { blank } from '../../kernel-lib/questions/answer';
import type { AnySheet } from '../../kernel-lib/questions/sheet';
import { begin, check, endWork, setSheetSource, standing } from '../../kernel-lib/questions/work';
import { sampleSheet } from './sample-sheet';

let shown: MimeBundle[] = [];
const last = () => String(shown.at(-1)?.['text/plain']);

beforeEach(() => {
  shown = [];
  endWork();
  setDisplayPort({ show: (bundle) => shown.push(bundle) });
  setSheetSource(
    (name) => (name === sampleSheet.name ? sampleSheet : undefined),
    () => [sampleSheet.name],
  );
});

const setUp = () => begin('02-sample', '204117');
const right = (given: { wavelength: number; width: number }) =>
  (Math.asin(given.wavelength / given.width) * 180) / Math.PI;

test('a right answer agrees, and the progress line counts it', () => {
  const given = setUp();
  check('2.1', right(given));
  expect(last()).toMatch(/^Agrees\. [\d.]+° \(\d+° \d\d′ \d\d″\), within the 0\.5 % asked for\./);
  expect(last()).toMatch(/\n2\.1 agrees, 2 of 2 marks · sheet so far 2 of 17$/);
  expect(shown.at(-1)?.['application/vnd.multislit.verdict+json']).toMatchObject({
    question: '2.1',
    state: 'agrees',
    marks: 2,
    outOf: 2,
    sheet: { marks: 2, outOf: 17 },
  });
});

test('check returns nothing, so that a verdict is not printed twice', () => {
  setUp();
  expect(check('2.1', 1)).toBeUndefined();
  expect(shown).toHaveLength(2);
});

test('the last answer counts, and asking again costs nothing', () => {
  const given = setUp();
  check('2.1', right(given));
  check('2.1', 3);
  expect(standing()?.marks).toBe(0);
  check('2.1', right(given));
  expect(standing()?.marks).toBe(2);
});

test('beginning again with the same number keeps the marks, with another starts anew', () => {
  check('2.1', right(setUp()));
  setUp();
  expect(standing()?.marks).toBe(2);
  begin('02-sample', '204118');
  expect(standing()?.marks).toBe(0);
});

test('what a cell does to its givens does not change how it is judged', () => {
  const given = setUp();
  const answer = right(given);
  expect(() => {
    given.width = 1;
  }).toThrow('belongs to your sheet');
  check('2.1', answer);
  expect(last()).toMatch(/^Agrees/);
});

test('a sealed answer is recorded and its marks come later', () => {
  setUp();
  check('2.5', 12.5);
  expect(last()).toMatch(/^Recorded\. 12\.5 mm/);
  expect(last()).toMatch(/2\.5 recorded, 4 marks decided later · sheet so far 0 of 17$/);
});

test.each([
  ['blank', blank],
  ['nothing', undefined],
  ['a list of blanks', [blank, blank]],
])('%s is an answer not yet given', (_name, answer) => {
  setUp();
  check('2.1', answer);
  expect(last()).toMatch(/^Still open\. There is no answer yet/);
});

test('check before begin, for no such question, and with a decimal comma are told so', () => {
  check('2.1', 1);
  expect(last()).toMatch(/Run the cells at the top/);
  setUp();
  check('2.9', 1);
  expect(last()).toMatch(/no question 2\.9\. It has 2\.1, 2\.2/);
  check('2.1', 0, 32);
  expect(last()).toMatch(/takes one answer; 2 were handed in\. Decimals are written with a point/);
});

test.each(['no such wavelength', 'no such wavelength.'])(
  'a formula of the sheet that stops is told, with the question, and the work goes on: %s',
  (fault) => {
    const [first] = sampleSheet.questions;
    const broken = () => {
      throw new Error(fault);
    };
    const questions = [{ ...first, expected: broken }, ...sampleSheet.questions.slice(1)];
    setSheetSource(() => ({ ...sampleSheet, questions }) as AnySheet);
    setUp();
    check('2.1', 1);
    expect(last()).toContain(
      'Question 2.1 could not be checked: no such wavelength. Tell your instructor.',
    );
    expect(standing()?.questions[0].state).toBe('open');
    check('2.4', 'purple');
    expect(last()).toMatch(/^Agrees/);
  },
);

test('a long name of a question that is not there is cut', () => {
  setUp();
  check('9'.repeat(500), 1);
  expect(last()).toContain(`no question ${'9'.repeat(20)}. It has`);
});

test('text of the student is escaped in the HTML', () => {
  setUp();
  check('2.4', '<img src=x onerror=alert(1)>');
  expect(String(shown.at(-1)?.['text/html'])).not.toContain('<img');
});

test('begin says what to type when sheet or number are not known', () => {
  expect(() => begin('02-sampel', '204117')).toThrow(
    'There is no worksheet "02-sampel". There are: 02-sample.',
  );
  for (const number of ['', '  ', blank])
    expect(() => begin('02-sample', number)).toThrow(/^Type your student number/);
  for (const number of ['12', '12345678901', '20-4117', 'abc', 12.5, Number.NaN, -20411, {}])
    expect(() => begin('02-sample', number as string)).toThrow(/has 4 to 10 digits/);
});
