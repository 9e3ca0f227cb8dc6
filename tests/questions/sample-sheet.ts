import { defineKey, defineSheet } from '../../kernel-lib/questions/define';

/** A small sheet with one question of each kind, for the tests of this folder. */
export const sampleSheet = defineSheet({
  name: '02-sample',
  title: 'A sample',
  givens: (draw) => ({
    width: draw.between('width', 20e-6, 60e-6, 1e-6),
    wavelength: draw.choice('wavelength', [550e-9, 633e-9]),
    focalLength: draw.between('focalLength', 0.5, 1.5, 0.1),
  }),
  tells: (given) => [`Slit width ${(given.width * 1e6).toFixed(0)} µm`],
  questions: [
    {
      kind: 'number',
      id: '2.1',
      asks: 'First minimum',
      marks: 2,
      unit: 'deg',
      expected: (given) => Math.asin(given.wavelength / given.width),
      tolerance: { relative: 0.005 },
      slips: [
        {
          name: 'second minimum',
          value: (given) => Math.asin((2 * given.wavelength) / given.width),
          hint: (_given, shown) => `${shown} belongs to another order. Which one is asked for?`,
        },
        {
          name: 'width over wavelength',
          value: (given) => given.width / given.wavelength,
          hint: 'Which is longer, the slit or the wave? The ratio is upside down.',
        },
      ],
    },
    {
      kind: 'list',
      id: '2.2',
      asks: 'Minima on the film',
      marks: 3,
      unit: 'mm',
      expected: (given) =>
        [1, 2, 3].map(
          (k) => given.focalLength * Math.tan(Math.asin((k * given.wavelength) / given.width)),
        ),
      tolerance: { relative: 0.005 },
      slips: [
        {
          name: 'diameter for radius',
          value: (given) =>
            [2, 4, 6].map(
              (k) =>
                given.focalLength *
                Math.tan(Math.asin(((k / 2) * given.wavelength) / given.width)) *
                2,
            ),
          hint: 'From the centre, not from side to side.',
        },
      ],
    },
    {
      kind: 'function',
      id: '2.3',
      asks: 'Intensity',
      marks: 3,
      signature: '(s: number) => number',
      points: (given) => [0, 0.3, 0.5, 1.43].map((x) => [(x * given.wavelength) / given.width]),
      expected: (given, s) => sincSquared((Math.PI * given.width * s) / given.wavelength),
      tolerance: { relative: 1e-6 },
      slips: [
        {
          name: 'amplitude',
          value: (given) => (s) =>
            Math.sqrt(sincSquared((Math.PI * given.width * s) / given.wavelength)),
          hint: 'This is the size of the amplitude.',
        },
      ],
    },
    {
      kind: 'word',
      id: '2.4',
      asks: 'Colour',
      marks: 1,
      accepts: () => ['purple', 'blue-green'],
      slips: [{ name: 'sky', words: ['blue', 'light blue'], hint: 'Something is mixed in.' }],
    },
    {
      kind: 'sealed',
      id: '2.5',
      asks: 'Width of the band',
      marks: 4,
      answer: 'number',
      unit: 'mm',
    },
    { kind: 'written', id: '2.6', asks: 'Explain', marks: 4 },
  ],
});

function sincSquared(x: number): number {
  return x === 0 ? 1 : (Math.sin(x) / x) ** 2;
}

export const sampleKey = defineKey({
  sheet: sampleSheet,
  sealed: {
    '2.5': {
      kind: 'number',
      id: '2.5',
      asks: 'Width of the band',
      marks: 4,
      unit: 'mm',
      expected: (given) =>
        2 * given.focalLength * Math.tan(Math.asin(given.wavelength / given.width)),
      tolerance: { relative: 0.005 },
      slips: [
        {
          name: 'half the band',
          value: (given) => given.focalLength * Math.tan(Math.asin(given.wavelength / given.width)),
          hint: 'To one side only. What does the question ask for?',
        },
      ],
    },
  },
  model: { 'cell-1': "check('2.5', 1)" },
  schemes: {
    '2.6': [
      { marks: 2, point: 'path difference' },
      { marks: 2, point: 'pairs cancel' },
    ],
  },
  instructor: 'For tests only.',
});
