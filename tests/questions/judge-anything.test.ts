import fc from 'fast-check';
import { expect, test } from 'vitest';
import { plainAnswer, readAnswer } from '../../kernel-lib/questions/answer';
import { drawFor } from '../../kernel-lib/questions/draw';
import { judge, judgePlain, samplingOf } from '../../kernel-lib/questions/judge';
import { openForms } from '../../kernel-lib/questions/sheet';
import { sampleKey, sampleSheet } from './sample-sheet';

const given = sampleSheet.givens(drawFor('02-sample', '204117'));
const questions = [...openForms(sampleKey), ...sampleSheet.questions];

const thing = fc.oneof(
  fc.anything({
    withBigInt: true,
    withDate: true,
    withMap: true,
    withNullPrototype: true,
    withTypedArray: true,
    withSparseArray: true,
    withObjectString: true,
  }),
  fc.func(fc.anything()),
  fc.string().map((text) => Symbol(text)),
  // Objects that look like quantities and measured values.
  fc.record({ isUnit: fc.constant(true), toNumber: fc.func(fc.anything()) }),
  fc.record({ value: fc.double(), u: fc.double() }),
);

test('whatever is handed in gets a verdict with a sentence, and marks only when it agrees', () => {
  fc.assert(
    fc.property(thing, fc.constantFrom(...questions), (answer, question) => {
      const verdict = judge(question, given, answer);
      expect(verdict.message.length).toBeGreaterThan(5);
      expect(verdict.message).not.toMatch(/\[object |\n {4}at /);
      expect(verdict.marks).toBe(verdict.state === 'agrees' ? verdict.outOf : 0);
    }),
    { seed: 6, numRuns: 3000 },
  );
});

test('and the very same verdict once it has been written down as JSON', () => {
  fc.assert(
    fc.property(thing, fc.constantFrom(...questions), (answer, question) => {
      const plain = JSON.parse(JSON.stringify(plainAnswer(answer, samplingOf(question, given))));
      expect(judgePlain(question, given, readAnswer(plain)).state).toBe(
        judge(question, given, answer).state,
      );
    }),
    { seed: 7, numRuns: 2000 },
  );
});
