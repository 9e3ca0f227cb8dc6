import { defineSheet } from 'multislit';
import { calibrate } from './calibrate';
import { forgottenCurve } from './forgotten';
import { benchOf, type Given, givens, tells } from './given';

const second = (given: Given) => {
  const { spacing, width } = benchOf(given).second;
  return [spacing, width];
};
const found = (given: Given) => [benchOf(given).spacing, benchOf(given).width];

export default defineSheet<Given>({
  name: '07-your-own-pattern',
  title: 'Your own pattern',
  givens,
  tells,
  questions: [
    ...calibrate,
    {
      id: '7.5',
      kind: 'number',
      asks: 'How many slits',
      marks: 2,
      unit: '1',
      expected: (given) => benchOf(given).count,
      tolerance: { whole: true },
      slips: [
        {
          name: 'weak maxima',
          value: (given) => benchOf(given).count - 2,
          hint: 'This is the number of weak maxima between two bright lines. How many slits make so many?',
        },
        {
          name: 'dark lines',
          value: (given) => benchOf(given).count - 1,
          hint: 'This is the number of dark lines between two bright lines. How many slits make so many?',
        },
        {
          name: 'one too many',
          value: (given) => benchOf(given).count + 1,
          hint: 'One too many. A bright line seems to be counted as a weak maximum.',
        },
        {
          name: 'two too many',
          value: (given) => benchOf(given).count + 2,
          hint: 'Two too many. Count only what lies between two neighbouring bright lines, these not included.',
        },
      ],
    },
    {
      id: '7.6',
      kind: 'list',
      asks: 'Spacing and width from the photograph',
      marks: 4,
      unit: 'um',
      expected: found,
      tolerance: { relative: 0.012 },
      slips: [
        {
          name: 'exchanged',
          value: (given) => found(given).reverse(),
          hint: 'The order is [spacing, width]. Slits cannot lie closer than they are wide.',
        },
        {
          name: 'dark bar for spacing',
          value: (given) => {
            const [spacing, width] = found(given);
            return [spacing - width, width];
          },
          hint: 'The width is right. Your first number is the dark bar; the spacing goes from centre to centre.',
        },
        {
          name: 'camera’s curve left in',
          value: (given) => {
            const [spacing, width] = found(given);
            return [spacing, width * (1 + forgottenCurve(given))];
          },
          hint: 'The spacing is right; the width is that of a picture whose codes were taken for light as they are.',
        },
        {
          name: 'pixels of the wrong size',
          value: (given) => found(given).map((each) => each * 10),
          hint: 'Both are ten times too large: look at the size of a pixel that was handed over.',
        },
        {
          name: 'millimetres',
          value: (given) => found(given).map((each) => each / 1000),
          hint: 'These look like millimetres; micrometres are asked for.',
        },
      ],
    },
    {
      id: '7.7',
      kind: 'number',
      asks: 'The curve forgotten',
      marks: 3,
      unit: '%',
      expected: (given) => -forgottenCurve(given),
      tolerance: { absolute: 0.004 },
      slips: [
        {
          name: 'relative to the wrong width',
          value: (given) => 1 / (1 + forgottenCurve(given)) - 1,
          hint: 'This is the difference relative to the wrong width. Take it relative to that of 7.6.',
        },
        {
          name: 'what is left',
          value: (given) => 1 + forgottenCurve(given),
          hint: 'This is how much of the width is left. How much is missing?',
        },
        {
          name: 'fraction',
          value: (given) => -forgottenCurve(given) / 100,
          hint: 'This looks like a fraction of 1; percent is asked for.',
        },
        {
          name: 'twice',
          value: (given) => 2 * -forgottenCurve(given),
          hint: 'This is twice the difference. Is it the width or its half that you compare?',
        },
      ],
    },
    {
      id: '7.8',
      kind: 'sealed',
      asks: 'How sure is the spacing',
      marks: 3,
      answer: 'number',
      unit: 'um',
    },
    { id: '7.9', kind: 'written', asks: 'Your own pattern', marks: 6 },
    {
      id: '7.10',
      kind: 'list',
      asks: 'Spacing and width from a row of spots',
      marks: 3,
      unit: 'um',
      expected: second,
      tolerance: { relative: 0.03 },
      slips: [
        {
          name: 'exchanged',
          value: (given) => second(given).reverse(),
          hint: 'The order is [spacing, width]. Slits cannot lie closer than they are wide.',
        },
        {
          name: 'dark bar for spacing',
          value: (given) => {
            const [spacing, width] = second(given);
            return [spacing - width, width];
          },
          hint: 'The width is right. Your first number is the dark bar; the spacing goes from centre to centre.',
        },
        {
          name: 'ruler ten times too short',
          value: (given) => second(given).map((each) => each * 10),
          hint: 'Both are ten times too large: is the length between the two marks of the ruler handed over in metres?',
        },
        {
          name: 'millimetres',
          value: (given) => second(given).map((each) => each / 1000),
          hint: 'These look like millimetres; micrometres are asked for.',
        },
      ],
    },
    {
      id: '7.11',
      kind: 'sealed',
      asks: 'May the other photograph be trusted',
      marks: 2,
      answer: 'word',
    },
  ],
});
