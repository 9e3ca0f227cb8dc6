import { expect, test } from 'vitest';
import { judge } from '../../kernel-lib/questions/judge';
import type { WordQuestion } from '../../kernel-lib/questions/kinds/word';
import type { SealedQuestion } from '../../kernel-lib/questions/sheet';
import { openForms } from '../../kernel-lib/questions/sheet';
import { sampleKey, sampleSheet } from './sample-sheet';

const colour: WordQuestion<object> = {
  kind: 'word',
  id: '2.4',
  asks: 'Colour',
  marks: 1,
  accepts: () => ['Blue-green'],
  slips: [],
};

test.each([
  ['many spaces', 'blue   green'],
  ['spaces and a hyphen', 'blue - green'],
  ['an underscore', 'blue_green'],
  ['quotes with spaces inside', '" blue green "'],
  ['curly quotes and a full stop', '“Blue‐green.”'],
  ['wide letters', 'ｂｌｕｅ green'],
])('%s make no other word', (_name, word) => {
  expect(judge(colour, {}, word)).toMatchObject({ state: 'agrees', marks: 1 });
});

test('another word is another', () => {
  for (const word of ['bluegreen', 'blue', 'green', 'x'.repeat(80)])
    expect(judge(colour, {}, word).message).toMatch(/That is not it yet/);
});

test('the verdict shows the word as it was typed, without the spaces around it', () => {
  expect(judge(colour, {}, '  Blue green ')).toMatchObject({
    shown: '“Blue green”',
    message: '“Blue green”.',
  });
  expect(judge(colour, {}, ' red ').shown).toBe('“red”');
});

test('the open forms of a sheet: its own, and the key’s for what is sealed; nothing that is written', () => {
  const forms = openForms(sampleKey);
  expect(forms.map(({ id }) => id)).toEqual(['2.1', '2.2', '2.3', '2.4', '2.5']);
  expect(forms.slice(0, 4)).toEqual(sampleSheet.questions.slice(0, 4));
  expect(forms[4]).toBe(sampleKey.sealed['2.5']);
});

test('a sealed number without a unit is a plain number; a sealed function says which', () => {
  const sealed: SealedQuestion = {
    kind: 'sealed',
    id: '2.5',
    asks: 'Ratio',
    marks: 1,
    answer: 'number',
  };
  expect(judge(sealed, {}, 0.25).shown).toBe('0.25');
  expect(judge({ ...sealed, answer: 'function' }, {}, Math.sin).shown).toBe('a function');
  expect(judge({ ...sealed, answer: 'function' }, {}, 3).message).toBe(
    'A function is asked for; this is a number.',
  );
});
