import { defineSheet } from 'multislit';
import { arrows } from './arrows';
import { comb, type Given, givens, subsidiary, tells } from './given';

export default defineSheet<Given>({
  name: '04-three-and-four-slits',
  title: 'Three and four slits',
  givens,
  tells,
  questions: [
    ...arrows,
    {
      id: '4.5',
      kind: 'number',
      asks: 'Height of the first weak maximum',
      marks: 3,
      unit: '%',
      expected: ({ count }) => comb(count, subsidiary(count, 1)) ** 2,
      tolerance: { relative: 0.006 },
      slips: [
        {
          name: 'half-way',
          value: ({ count }) => comb(count, (1.5 * Math.PI) / count) ** 2,
          hint: 'This is the height half-way between two dark lines. The true maximum lies a little nearer to the bright line.',
        },
        {
          name: 'one over N squared',
          value: ({ count }) => 1 / count ** 2,
          hint: 'One over the square of the number holds for three slits only. With more slits the first weak maximum is higher than that.',
        },
        {
          name: 'amplitude',
          value: ({ count }) => Math.abs(comb(count, subsidiary(count, 1))),
          hint: 'This is the length of the sum of arrows. The height is its square.',
        },
        {
          name: 'the place for the height',
          value: ({ count }) => subsidiary(count, 1) / 100,
          hint: 'This is the place of the weak maximum, as an angle α. Its height is the square of the sum of arrows there.',
        },
        {
          name: 'second one',
          value: ({ count }) => comb(count, subsidiary(count, 2)) ** 2,
          hint: 'This is the second weak maximum. The first lies next to the bright line.',
        },
        {
          name: 'fraction',
          value: ({ count }) => comb(count, subsidiary(count, 1)) ** 2 / 100,
          hint: 'This looks like a fraction of 1; percent is asked for.',
        },
      ],
    },
    { id: '4.6', kind: 'sealed', asks: 'How much narrower', marks: 3, answer: 'number', unit: '1' },
    {
      id: '4.7',
      kind: 'list',
      asks: 'Brighter, and one slit blocked',
      marks: 3,
      unit: '1',
      expected: ({ count }) => [count ** 2, (count - 1) ** 2, 1],
      tolerance: { relative: 0.01 },
      slips: [
        {
          name: 'amplitudes',
          value: ({ count }) => [count, count - 1, 1],
          hint: 'These are lengths of arrows. Intensity is the square of the sum.',
        },
        {
          name: 'still dark',
          value: ({ count }) => [count ** 2, (count - 1) ** 2, 0],
          hint: 'The first two are right. Where all arrows closed a polygon, one side is missing now: how long is the gap?',
        },
        {
          name: 'light counted, not amplitude',
          value: ({ count }) => [count, count - 1, 0],
          hint: 'More slits let more light through, in proportion to their number; but in the centre amplitudes add up, not intensities.',
        },
        {
          name: 'relative to all slits',
          value: ({ count }) => [1, ((count - 1) / count) ** 2, 1 / count ** 2],
          hint: 'These are fractions of the centre with all slits open. The question takes one slit alone as 1.',
        },
      ],
    },
    {
      id: '4.8',
      kind: 'sealed',
      asks: 'The uncounted slide',
      marks: 2,
      answer: 'number',
      unit: '1',
    },
    { id: '4.9', kind: 'written', asks: 'What the arrows say', marks: 4 },
  ],
});
