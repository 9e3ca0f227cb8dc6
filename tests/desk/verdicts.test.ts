import { expect, test } from 'vitest';
import type { Notebook } from '../../kernel-lib/notebook/notebook';
import { verdictMimeType } from '../../kernel-lib/questions/verdict';
import { standingOf } from '../../kernel-lib/travels/standing';

const questions = [
  { id: '1.1', asks: 'One', marks: 2, kind: 'number' },
  { id: '1.2', asks: 'Two', marks: 3, kind: 'number' },
];
const showing = (...verdicts: object[]): Notebook => ({
  nbformat: 4,
  nbformat_minor: 5,
  metadata: {},
  cells: [
    {
      cell_type: 'code',
      id: 'a',
      metadata: {},
      source: '',
      execution_count: null,
      outputs: verdicts.map((verdict) => ({
        output_type: 'display_data' as const,
        data: { [verdictMimeType]: verdict },
        metadata: {},
      })),
    },
  ],
});
const says = (question: string, marks: unknown, state = 'agrees') => ({ question, marks, state });

test('the front page adds up what the verdicts in a notebook say', () => {
  expect(standingOf(showing(says('1.1', 2), says('1.2', 0, 'not yet')), questions)).toEqual({
    states: { '1.1': 'agrees', '1.2': 'not yet' },
    marks: 2,
  });
});

test('what gives more marks than there are, or is of no question of the sheet, is not believed', () => {
  const forged = [says('1.1', 99), says('1.1', -5), says('1.1', Number.NaN), says('9.9', 2)];
  const odd = [says('__proto__', 2), says('constructor', 1)];
  expect(standingOf(showing(...forged, ...odd), questions)).toEqual({ states: {}, marks: 0 });
  expect(standingOf(showing(says('1.1', 2), ...forged), questions).marks).toBe(2);
});
