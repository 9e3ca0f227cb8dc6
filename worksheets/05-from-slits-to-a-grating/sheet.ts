import { defineSheet } from 'multislit';
import { element, fittedSpacing, type Given, givens, tells } from './given';
import { predict } from './predict';
import { red } from './purity';

export default defineSheet<Given>({
  name: '05-from-slits-to-a-grating',
  title: 'From slits to a grating',
  givens,
  tells,
  questions: [
    ...predict,
    ...red,
    {
      id: '5.6',
      kind: 'sealed',
      asks: 'The error behind the ghosts',
      marks: 3,
      answer: 'number',
      unit: 'nm',
    },
    {
      id: '5.7',
      kind: 'number',
      asks: 'The spacing of unlabelled slides',
      marks: 3,
      unit: 'um',
      expected: (given) => fittedSpacing(given),
      tolerance: { relative: 0.015 },
      slips: [
        {
          name: 'one side',
          value: (given) => fittedSpacing(given) / 2,
          hint: 'Half of what the readings say. The widths were read from the dark line on one side to that on the other, which is 2fλ/Nd.',
        },
        {
          name: 'twice too large',
          value: (given) => 2 * fittedSpacing(given),
          hint: 'Twice what the readings say. Is the 2 of 2fλ/Nd in your formula once?',
        },
        {
          name: 'against the number of slits',
          value: (given) => fittedSpacing(given, (count) => count),
          hint: 'Your line shows width against N, and these points do not lie on a straight line. Against which quantity do they?',
        },
        {
          name: 'one slit too few',
          value: (given) => fittedSpacing(given, (count) => 1 / (count - 1)),
          hint: 'The widths seem to be drawn against 1/(N − 1). All N slits take part.',
        },
        {
          name: 'millimetres',
          value: (given) => fittedSpacing(given) / 1000,
          hint: 'This looks like millimetres; micrometres are asked for.',
        },
      ],
    },
    {
      id: '5.8',
      kind: 'word',
      asks: 'A dark line of sunlight',
      marks: 2,
      accepts: (given) => [element(given)],
      slips: [
        {
          name: 'iron',
          words: ['iron', 'Fe'],
          hint: 'Iron makes many dark lines, but compare your wavelength with the table to a nanometre. Is the lens, f tan θ, taken into account?',
        },
        {
          name: 'helium',
          words: ['helium', 'He'],
          hint: 'Helium was indeed first seen in sunlight, but as a bright line at the edge of the sun. Compare the wavelength with the table to a nanometre.',
        },
        {
          name: 'calcium',
          words: ['calcium', 'Ca'],
          hint: 'The line of calcium in the table lies in the far violet. Did you divide by the number of lines per metre, and is the order 1?',
        },
      ],
    },
    { id: '5.9', kind: 'written', asks: 'More slits or a higher order', marks: 4 },
  ],
});
