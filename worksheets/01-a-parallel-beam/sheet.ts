import { defineSheet, sincPi } from 'multislit';
import { beam } from './beam';
import { contrast, fittedSpacing, type Given, givens, screen, tells } from './given';

/** Half of the phase by which the fringes of the two edges of the source slit differ, over π. */
const edges = ({ wavelength, collimatorFocalLength, spacing }: Given, b: number) =>
  (b * spacing) / (wavelength * collimatorFocalLength);

const screens = (given: Given) => given.fresnelNumbers.map((each) => screen(given, each));

export default defineSheet<Given>({
  name: '01-a-parallel-beam',
  title: 'A parallel beam',
  givens,
  tells,
  questions: [
    ...beam,
    {
      id: '1.5',
      kind: 'function',
      asks: 'Contrast and source slit',
      marks: 3,
      signature: '(b: number) => number',
      points: ({ wavelength, collimatorFocalLength, spacing }) =>
        [0.07, 0.25, 0.41, 0.6, 0.83, 1.21, 1.43, 1.7, 2.4].map((share) => [
          (share * wavelength * collimatorFocalLength) / spacing,
        ]),
      expected: (given, b) => contrast(given, b, given.spacing),
      tolerance: { relative: 0.001 },
      slips: [
        {
          name: 'sign kept',
          value: (given) => (b) => sincPi(edges(given, b)),
          hint: 'For a wide source slit your contrast turns negative. Bright and dark fringes have changed places there; the contrast is the size, Math.abs(…).',
        },
        {
          name: 'squared',
          value: (given) => (b) => sincPi(edges(given, b)) ** 2,
          hint: 'This is the square. Here intensities of different parts of the source add up, not amplitudes, so nothing is squared.',
        },
        {
          name: 'π left out',
          value: (given) => (b) => Math.abs(sincPi(edges(given, b) / Math.PI)),
          hint: 'Your fringes vanish about three times too late. Is π in your v?',
        },
        {
          name: 'brackets of v left out',
          value: (given) => (b) =>
            Math.abs(sincPi(edges(given, b) * given.collimatorFocalLength ** 2)),
          hint: 'Your fringes hardly fade. In your v the focal length has come above the line: a / b * c is a times c over b; for both below the line write a / (b * c).',
        },
        {
          name: 'brackets below the sine left out',
          value: (given) => (b) =>
            Math.abs((Math.sin(Math.PI * edges(given, b)) / Math.PI) * edges(given, b)),
          hint: 'Only π stands below the sine; the rest of v has come above the line. Brackets keep it together, or a line of its own: const v = …',
        },
        {
          name: 'no brackets at all',
          value: (given) => (b) => {
            const v = edges(given, b) * given.collimatorFocalLength ** 2;
            return Math.abs((Math.sin(Math.PI * v) / Math.PI) * v);
          },
          hint: 'Brackets are missing, in v and below the sine. a / b * c is a times c over b; for both below the line write a / (b * c). A line of its own for v helps.',
        },
        {
          name: 'v left out',
          value: (given) => (b) => Math.abs(Math.sin(Math.PI * edges(given, b))),
          hint: 'This is the sine alone. For a narrow source slit the contrast must come to 1.',
        },
        {
          name: 'degrees',
          value: (given) => (b) => Math.abs(sincPi((edges(given, b) * 180) / Math.PI)),
          hint: 'Your v is in degrees. Math.sin takes radians, in which half a turn is π.',
        },
        {
          name: 'camera lens',
          value: (given) => (b) =>
            Math.abs(sincPi((edges(given, b) * given.collimatorFocalLength) / given.focalLength)),
          hint: 'This uses the focal length of the camera. The source slit stands before the other lens.',
        },
        {
          name: 'cosine',
          value: (given) => (b) => Math.abs(Math.cos(Math.PI * edges(given, b))),
          hint: 'This would be a source of two narrow slits. A wide slit holds all places in between, too.',
        },
        {
          name: 'width for spacing',
          value: (given) => (b) => contrast(given, b, given.width),
          hint: 'Your fringes last too long, as if the slits were only a slit width apart.',
        },
      ],
    },
    {
      id: '1.6',
      kind: 'list',
      asks: 'Screens near and far',
      marks: 3,
      unit: 'mm',
      expected: screens,
      tolerance: { relative: 0.01 },
      slips: [
        {
          name: 'whole width',
          value: (given) => screens(given).map((z) => 4 * z),
          hint: 'Four times too far: w is half of the width of the slit.',
        },
        {
          name: 'half of the half',
          value: (given) => screens(given).map((z) => z / 4),
          hint: 'A quarter of what it should be: the width was halved more than once.',
        },
        {
          name: 'upside down',
          value: (given) => given.fresnelNumbers.map((each) => screen(given, 1 / each)),
          hint: 'The Fresnel number seems to stand above the line. A large one belongs to a screen near the slit.',
        },
        {
          name: 'farthest first',
          value: (given) => screens(given).reverse(),
          hint: 'The order is that of given.fresnelNumbers: the nearest screen first.',
        },
        {
          name: 'metres',
          value: (given) => screens(given).map((z) => z / 1000),
          hint: 'These are metres; millimetres are asked for.',
        },
      ],
    },
    {
      id: '1.7',
      kind: 'sealed',
      asks: 'Where the far field begins',
      marks: 3,
      answer: 'number',
      unit: 'mm',
    },
    {
      id: '1.8',
      kind: 'number',
      asks: 'A pair measured by its contrast',
      marks: 4,
      unit: 'um',
      expected: fittedSpacing,
      tolerance: { relative: 0.02 },
      slips: [
        {
          name: 'camera lens',
          value: (given) =>
            (fittedSpacing(given) * given.focalLength) / given.collimatorFocalLength,
          hint: 'This uses the focal length of the camera. The source slit stands before the other lens.',
        },
        {
          name: 'half contrast taken for none',
          value: (given) => fittedSpacing(given) / 0.60335,
          hint: 'The fringes do not vanish where the contrast is one half. Look for the first width at which it is gone.',
        },
        {
          name: 'half',
          value: (given) => fittedSpacing(given) / 2,
          hint: 'Half of what the readings say. The fringes vanish when the source slit, seen as an angle, is λ/d wide, not half of that.',
        },
        {
          name: 'π left out',
          value: (given) => Math.PI * fittedSpacing(given),
          hint: 'About three times too much. Is π in the function that was fitted?',
        },
        {
          name: 'millimetres',
          value: (given) => fittedSpacing(given) / 1000,
          hint: 'This looks like millimetres; micrometres are asked for.',
        },
      ],
    },
    { id: '1.9', kind: 'written', asks: 'Far, narrow, or through a lens', marks: 4 },
  ],
});
