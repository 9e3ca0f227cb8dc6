import { mm, type OpenQuestion, sincPi } from 'multislit';
import { comb, type Given } from './given';

/** Where on the film the phase between neighbouring slits is 2πv. */
function place({ focalLength, wavelength, spacing }: Given, v: number): number {
  return focalLength * Math.tan(Math.asin((v * wavelength) / spacing));
}

/** The pattern of N slits at s, with another spacing or width if told. */
function pattern({ spacing, width, wavelength }: Given, slitCount: number, s: number): number {
  const q = s / wavelength;
  return comb(slitCount, Math.PI * spacing * q) ** 2 * sincPi(width * q) ** 2;
}

/** Dark lines and weak maxima, sums of arrows, the student's own formula. */
export const arrows: readonly OpenQuestion<Given>[] = [
  {
    id: '4.1',
    kind: 'list',
    asks: 'Dark lines and weak maxima',
    marks: 2,
    unit: '1',
    expected: ({ count }) => [count - 1, count - 2],
    tolerance: { whole: true },
    slips: [
      {
        name: 'exchanged',
        value: ({ count }) => [count - 2, count - 1],
        hint: 'The order is [dark lines, weak maxima]. Between two bright lines there is always one dark line more than weak maxima.',
      },
      {
        name: 'one too many',
        value: ({ count }) => [count, count - 1],
        hint: 'One too many of each. Count on the strips for three and for four slits and go on from there.',
      },
      {
        name: 'one too few',
        value: ({ count }) => [count - 2, count - 3],
        hint: 'One too few of each. Count on the strips for three and for four slits and go on from there.',
      },
      {
        name: 'dark lines as many as slits',
        value: ({ count }) => [count, count - 2],
        hint: 'The weak maxima are right. How many dark lines separate them from each other and from the two bright lines?',
      },
    ],
  },
  {
    id: '4.2',
    kind: 'number',
    asks: 'First dark line of four slits',
    marks: 2,
    unit: 'mm',
    expected: (given) => place(given, 1 / 4),
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'twice too far',
        value: (given) => place(given, 1 / 2),
        hint: 'Twice too far. Half a wavelength between neighbours is the dark line of two slits; did you take that, or both sides together?',
      },
      {
        name: 'three slits',
        value: (given) => place(given, 1 / 3),
        hint: 'This is the first dark line of three slits.',
      },
      {
        name: 'first order',
        value: (given) => place(given, 1),
        hint: 'Here neighbours differ by a whole wavelength, and all slits help each other: this is a bright line.',
      },
      {
        name: 'width for spacing',
        value: ({ focalLength, wavelength, width }) =>
          focalLength * Math.tan(Math.asin(wavelength / (4 * width))),
        hint: 'This uses the width of a slit. The arrows turn with the distance between the slits.',
      },
      {
        name: 'no brackets below the line',
        value: ({ focalLength, wavelength, spacing }) =>
          focalLength * Math.tan(Math.asin((wavelength / 4) * spacing)),
        hint: 'All that stands below the line needs brackets around it: a / b * c divides by b alone.',
      },
      {
        name: 'metres',
        value: (given) => mm(place(given, 1 / 4)),
        hint: 'This is the number of metres. Divide a length by mm(1) to have it in millimetres.',
      },
    ],
  },
  {
    id: '4.3',
    kind: 'number',
    asks: 'Sum of four arrows',
    marks: 2,
    unit: '1',
    expected: ({ phase }) => Math.abs(comb(4, phase / 2)),
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'squared',
        value: ({ phase }) => comb(4, phase / 2) ** 2,
        hint: 'This is the intensity. The length of the sum is asked for, before it is squared.',
      },
      {
        name: 'three arrows',
        value: ({ phase }) => Math.abs(comb(3, phase / 2)),
        hint: 'This is the sum of three arrows, each a third long.',
      },
      {
        name: 'whole phase for half',
        value: ({ phase }) => Math.abs(comb(4, phase)),
        hint: 'The arrows turn too fast, as if each were turned by twice the phase.',
      },
      {
        name: 'whole phase for half, with its sign',
        value: ({ phase }) => -Math.abs(comb(4, phase)),
        hint: 'The arrows turn too fast, as if each were turned by twice the phase. And the length of a sum has no sign.',
      },
      {
        name: 'no brackets below the line',
        value: ({ phase }) => (Math.sin(2 * phase) / 4) * Math.sin(phase / 2),
        hint: 'All that stands below the line needs brackets around it: a / b * c divides by b alone.',
      },
      {
        name: 'quarter of the phase',
        value: ({ phase }) => Math.abs(comb(4, phase / 4)),
        hint: 'The arrows turn too slowly, as if each were turned by half of the phase.',
      },
      {
        name: 'whole phase below the line',
        value: ({ phase }) => Math.abs(Math.sin(2 * phase) / (4 * Math.sin(phase))),
        hint: 'This mixes two angles: half of the phase above the line, the whole phase below it. Each sine speaks of the same angle between neighbours.',
      },
      {
        name: 'whole phase above the line',
        value: ({ phase }) => Math.abs(Math.sin(4 * phase) / (4 * Math.sin(phase / 2))),
        hint: 'This mixes two angles: the whole phase above the line, half of it below. Each sine speaks of the same angle between neighbours.',
      },
      {
        name: 'whole phase above the line, with its sign',
        value: ({ phase }) => -Math.abs(Math.sin(4 * phase) / (4 * Math.sin(phase / 2))),
        hint: 'This mixes two angles: the whole phase above the line, half of it below. And the length of a sum has no sign.',
      },
      {
        name: 'arrows of length 1',
        value: ({ phase }) => 4 * Math.abs(comb(4, phase / 2)),
        hint: 'Each of your arrows has the length 1. Here each is a quarter long, so that all in one line make 1.',
      },
    ],
  },
  {
    id: '4.4',
    kind: 'function',
    asks: 'Your own pattern of N slits',
    marks: 3,
    signature: '(count: number, s: number) => number',
    points: ({ wavelength, spacing }) =>
      [
        [1, 0.4],
        [2, 0.31],
        [3, 0],
        [3, 0.5],
        [3, -0.83],
        [4, 0.12],
        [4, 0.38],
        [4, 1.94],
        [7, 0],
        [7, -0.21],
        [7, 1.08],
      ].map(([count, v]) => [count, (v * wavelength) / spacing]),
    expected: (given, count, s) => pattern(given, count, s),
    tolerance: { relative: 0.001 },
    slips: [
      {
        name: 'not divided by the number',
        value: (given) => (count, s) => count ** 2 * pattern(given, count, s),
        hint: 'In the centre your value is the square of the number of slits. It should be 1 for any number.',
      },
      {
        name: 'divided once',
        value: (given) => (count, s) => count * pattern(given, count, s),
        hint: 'In the centre your value is the number of slits. It should be 1: the number stands inside the square.',
      },
      {
        name: 'no envelope',
        value:
          ({ spacing, wavelength }) =>
          (count, s) =>
            comb(count, (Math.PI * spacing * s) / wavelength) ** 2,
        hint: 'Your bright lines are all equally bright. Each slit has a width, and its own pattern dims the outer ones.',
      },
      {
        name: 'lines twice too close',
        value:
          ({ spacing, wavelength, width }) =>
          (count, s) =>
            comb(count, (2 * Math.PI * spacing * s) / wavelength) ** 2 *
            sincPi((width * s) / wavelength) ** 2,
        hint: 'Your bright lines lie twice too close. α is half of the phase between neighbours.',
      },
      {
        name: 'not squared',
        value:
          ({ spacing, wavelength, width }) =>
          (count, s) =>
            comb(count, (Math.PI * spacing * s) / wavelength) * sincPi((width * s) / wavelength),
        hint: 'This is the amplitude, which turns negative in places. Intensity is its square.',
      },
    ],
  },
];
