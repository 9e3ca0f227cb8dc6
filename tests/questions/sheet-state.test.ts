import { afterEach, describe, expect, test } from 'vitest';
import { escapeText } from '../../kernel-lib/display/bundle';
import type { State } from '../../kernel-lib/questions/kinds/kind';
import type { AnySheet } from '../../kernel-lib/questions/sheet';
import type { Verdict } from '../../kernel-lib/questions/verdict';
import {
  noticeBundle,
  progressLine,
  sheetState,
  verdictBundle,
} from '../../kernel-lib/questions/verdict';
import { setSheetSource, sheetNamed } from '../../kernel-lib/questions/work';
import { sampleSheet } from './sample-sheet';

const verdict = (question: string, state: State, marks: number, outOf: number): Verdict => ({
  question,
  asks: '',
  state,
  marks,
  outOf,
  message: 'So it is.',
});
const verdicts = new Map([
  ['2.1', verdict('2.1', 'agrees', 2, 2)],
  ['2.2', verdict('2.2', 'not yet', 0, 3)],
  ['2.5', verdict('2.5', 'recorded', 0, 4)],
  ['2.6', verdict('2.6', 'recorded', 0, 4)],
]);

test('a sheet adds up what is earned, what is decided later, and what there is', () => {
  const state = sheetState(sampleSheet, verdicts);
  expect(state).toMatchObject({ sheet: '02-sample', title: 'A sample', marks: 2, outOf: 17 });
  expect(state.questions.map((one) => one.state)).toEqual([
    'agrees',
    'not yet',
    'open',
    'open',
    'recorded',
    'written',
  ]);
  // The sealed question and the written one, of 4 marks each.
  expect(state.later).toBe(8);
});

test('before anything is handed in only what is written is decided later', () => {
  const { marks, later, questions } = sheetState(sampleSheet, new Map());
  expect([marks, later]).toEqual([0, 4]);
  expect(questions.map((one) => one.state)).toEqual([...new Array(5).fill('open'), 'written']);
  expect(questions.map((one) => one.marks)).toEqual(new Array(6).fill(0));
});

test('one mark is a mark, two are marks', () => {
  const state = sheetState(sampleSheet, verdicts);
  const line = (one: Verdict) => progressLine(one, state);
  expect(line(verdict('2.4', 'agrees', 1, 1))).toBe(
    '2.4 agrees, 1 of 1 mark · sheet so far 2 of 17',
  );
  expect(line(verdict('2.1', 'not yet', 0, 2))).toBe(
    '2.1 not yet, 0 of 2 marks · sheet so far 2 of 17',
  );
  expect(line(verdict('2.5', 'recorded', 0, 1))).toMatch(/^2\.5 recorded, 1 mark decided later ·/);
});

describe('a verdict as HTML', () => {
  const html = (state: State) => {
    const one = { ...verdict('2.1', state, 0, 2), message: 'a < b & "c" > d' };
    const bundle = verdictBundle(one, sheetState(sampleSheet, verdicts));
    return String(bundle['text/html']);
  };

  test('is told by word and line, so that colour is not needed', () => {
    const looks = (['agrees', 'not yet', 'recorded'] as const).map((state) => {
      const [, line, word] =
        /5px (\w+) .*<b style="color:#\w{6}">([^<]+)<\/b>/.exec(html(state)) ?? [];
      return [line, word];
    });
    expect(looks).toEqual([
      ['solid', 'Agrees.'],
      ['double', 'Not yet.'],
      ['dotted', 'Recorded.'],
    ]);
  });

  test('holds message and progress as text, and is announced to those who do not see it', () => {
    expect(html('agrees')).toContain('</b> a &lt; b &amp; &quot;c&quot; &gt; d<div');
    expect(html('agrees')).toContain(
      '>2.1 agrees, 0 of 2 marks · sheet so far 2 of 17</div></div>',
    );
    expect(html('agrees')).toMatch(/^<div role="status" /);
    const notice = noticeBundle('Run <it>.');
    expect(notice['text/plain']).toBe('Run <it>.');
    expect(notice['text/html']).toMatch(/^<div role="status" .*>Run &lt;it&gt;\.<\/div>$/);
  });

  test('plain signs stay as they are', () => {
    expect(escapeText("Don't; 5 µm = 5e-6 m")).toBe("Don't; 5 µm = 5e-6 m");
  });
});

describe('where sheets come from', () => {
  const sheet = { name: 'here' } as AnySheet;
  afterEach(() => setSheetSource(undefined));

  test('found by their names, which must be text', () => {
    const asked: string[] = [];
    setSheetSource((name) => {
      asked.push(name);
      return name === 'here' ? sheet : undefined;
    });
    expect(sheetNamed('here')).toBe(sheet);
    expect(() => sheetNamed(7 as unknown as string)).toThrow('There is no worksheet 7.');
    expect(asked).toEqual(['here']);
  });

  test('when one is not found the others are named, if they are known', () => {
    setSheetSource(() => undefined);
    expect(() => sheetNamed('there')).toThrow(/^There is no worksheet "there"\.$/);
    setSheetSource(
      () => undefined,
      () => ['a', 'b'],
    );
    expect(() => sheetNamed('there')).toThrow(/"there"\. There are: a, b\.$/);
    setSheetSource(
      () => undefined,
      () => [],
    );
    expect(() => sheetNamed('there')).toThrow(/"there"\.$/);
  });

  test('outside a notebook there are none', () => {
    setSheetSource(undefined);
    expect(() => sheetNamed('here')).toThrow(/No worksheets are at hand here/);
  });
});
