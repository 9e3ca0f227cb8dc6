import { chromaticity, defineSheet, illuminant, sincPi, xyz } from 'multislit';
import { fittedWidth, type Given, givens, tells } from './given';
import { pattern } from './pattern';

/** Colour of daylight from which every wavelength keeps the share `kept`. */
function colour(kept: (wavelength: number) => number): number[] {
  const { wavelengths, power } = illuminant('D65').continuum!;
  const left = wavelengths.map((wavelength, i) => power[i] * kept(wavelength));
  return [
    ...chromaticity(xyz({ name: 'daylight, weakened', continuum: { wavelengths, power: left } })),
  ];
}

export default defineSheet<Given>({
  name: '02-one-slit',
  title: 'One slit',
  givens,
  tells,
  questions: [
    ...pattern,
    {
      id: '2.5',
      kind: 'sealed',
      asks: 'Light through the opening',
      marks: 3,
      answer: 'number',
      unit: '%',
    },
    {
      id: '2.6',
      kind: 'list',
      asks: 'The colour where green cancels',
      marks: 3,
      unit: '1',
      expected: ({ cancelled }) => colour((wavelength) => sincPi(cancelled / wavelength) ** 2),
      tolerance: { absolute: 0.004 },
      slips: [
        {
          name: 'light in front',
          value: () => colour(() => 1),
          hint: 'This is the colour of daylight itself, as in front of the slit. Each wavelength must still be weakened by its own pattern.',
        },
        {
          name: 'not squared',
          value: ({ cancelled }) =>
            colour((wavelength) => Math.abs(sincPi(cancelled / wavelength))),
          hint: 'Colour comes from intensity. This is the colour with amplitudes, before they are squared.',
        },
        {
          name: 'second dark line',
          value: ({ cancelled }) =>
            colour((wavelength) => sincPi((2 * cancelled) / wavelength) ** 2),
          hint: 'This is the colour at the second dark line of that green. Look at the first.',
        },
        {
          name: 'x and y exchanged',
          value: ({ cancelled }) =>
            colour((wavelength) => sincPi(cancelled / wavelength) ** 2).reverse(),
          hint: 'The order is [x, y]: x first.',
        },
      ],
    },
    {
      id: '2.7',
      kind: 'number',
      asks: 'The unlabelled slit',
      marks: 3,
      unit: 'um',
      expected: (given) => fittedWidth(given),
      tolerance: { relative: 0.015 },
      slips: [
        {
          name: 'numbered without a gap',
          value: (given) => fittedWidth(given, [1, 2, 3, 4, 5, 6, 7, 8]),
          hint: 'The dark lines seem to be numbered one after the other. At the centre there is no dark line: between −1 and +1 the step is two.',
        },
        {
          name: 'seven steps',
          value: ({ wavelength, focalLength, readings }) =>
            (7 * focalLength * wavelength) / (readings[7] - readings[0]),
          hint: 'You seem to have counted seven equal steps from the first line to the last. The central band is wider than the others.',
        },
        {
          name: 'central band as one step',
          value: (given) => fittedWidth(given) / 2,
          hint: 'Half of what the readings say. The central band spans two steps, from −1 to +1.',
        },
        {
          name: 'twice too wide',
          value: (given) => 2 * fittedWidth(given),
          hint: 'Twice what the readings say. From one dark line to the next the order changes by one.',
        },
        {
          name: 'millimetres',
          value: (given) => fittedWidth(given) / 1000,
          hint: 'This looks like millimetres; micrometres are asked for.',
        },
      ],
    },
    {
      id: '2.8',
      kind: 'sealed',
      asks: 'Uncertainty of the width',
      marks: 2,
      answer: 'number',
      unit: 'um',
    },
    { id: '2.9', kind: 'written', asks: 'Narrower and wider', marks: 4 },
  ],
});
