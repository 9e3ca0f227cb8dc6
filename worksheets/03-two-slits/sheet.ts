import { defineSheet, degrees, sincPi } from 'multislit';
import { fittedPair, type Given, givens, pattern, tells } from './given';

/** Direction in which the two slits differ by m wavelengths. */
const angle = ({ wavelength, spacing }: Given, m: number) => Math.asin((m * wavelength) / spacing);
/** How many whole orders lie on one side within the central band. */
const oneSide = ({ spacing, width }: Given) => Math.floor(spacing / width);
/** The pattern as a function of s, with another spacing or width if told. */
const twoSlits =
  ({ wavelength, spacing, width }: Given, d = spacing, a = width) =>
  (s: number) =>
    pattern(s / wavelength, d, a);
/** v with sin πv / πv = 1/2. */
const halfContrast = 0.60335;

export default defineSheet<Given>({
  name: '03-two-slits',
  title: 'Two slits',
  givens,
  tells,
  questions: [
    {
      id: '3.1',
      kind: 'number',
      asks: 'Direction of an order',
      marks: 2,
      unit: 'deg',
      expected: (given) => angle(given, given.order),
      tolerance: { relative: 0.01 },
      slips: [
        {
          name: 'radians',
          value: (given) => degrees(angle(given, given.order)),
          hint: 'Math.asin answers in radians. The question asks for degrees: one radian is about 57.3 of them.',
        },
        {
          name: 'dark line before it',
          value: (given) => angle(given, given.order - 0.5),
          hint: 'Here the two slits differ by half a wavelength more than a whole number: this is the dark line just inside the fringe.',
        },
        {
          name: 'dark line after it',
          value: (given) => angle(given, given.order + 0.5),
          hint: 'Here the two slits differ by half a wavelength more than a whole number: this is the dark line just outside the fringe.',
        },
        {
          name: 'centre counted as 1',
          value: (given) => angle(given, given.order - 1),
          hint: 'The fringe in the centre has the order 0. Counting begins beside it.',
        },
        {
          name: 'first order',
          value: (given) => angle(given, 1),
          hint: 'This is the first order. Look at given.order again.',
        },
        {
          name: 'width for spacing',
          value: ({ wavelength, width, order }) => Math.asin((order * wavelength) / width),
          hint: 'This uses the width of one slit. Fringes come from the distance between two slits.',
        },
        {
          name: 'dark bar for spacing',
          value: ({ wavelength, width, spacing, order }) =>
            Math.asin((order * wavelength) / (spacing - width)),
          hint: 'This uses the dark bar between the slits. The spacing goes from centre to centre.',
        },
        {
          name: 'both sides',
          value: (given) => 2 * angle(given, given.order),
          hint: 'Twice too much. The angle is counted from the axis to one side.',
        },
      ],
    },
    {
      id: '3.2',
      kind: 'number',
      asks: 'Fringes in the central band',
      marks: 2,
      unit: '1',
      expected: (given) => 2 * oneSide(given) + 1,
      tolerance: { absolute: 0.01 },
      slips: [
        {
          name: 'one side only',
          value: oneSide,
          hint: 'These are the fringes on one side of the centre. The band reaches to both sides.',
        },
        {
          name: 'centre forgotten',
          value: (given) => 2 * oneSide(given),
          hint: 'The pattern is symmetric and there is a fringe in the middle. Is your number one that such a pattern can have?',
        },
        {
          name: 'one too many on each side',
          value: (given) => 2 * oneSide(given) + 3,
          hint: 'Your outermost fringes lie beyond the first dark line of one slit. Compare their direction with λ/a.',
        },
        {
          name: 'one too many',
          value: (given) => 2 * oneSide(given) + 2,
          hint: 'The pattern is symmetric and there is a fringe in the middle. Is your number one that such a pattern can have? Round each side by itself, to what lies inside.',
        },
        {
          name: 'not a whole number',
          value: ({ spacing, width }) => spacing / width,
          hint: 'This is how many fringe spacings lie between the centre and the edge of the band. Which whole orders fall inside it, on both sides?',
        },
      ],
    },
    {
      id: '3.3',
      kind: 'function',
      asks: 'Your own intensity',
      marks: 3,
      signature: '(s: number) => number',
      points: ({ wavelength, spacing }) =>
        [0, 0.2, -0.37, 0.5, 0.81, 1, -1.33, 1.72, 2.15, 3.1].map((m) => [
          (m * wavelength) / spacing,
        ]),
      expected: (given, s) => twoSlits(given)(s),
      tolerance: { relative: 0.001 },
      slips: [
        {
          name: 'no envelope',
          value:
            ({ wavelength, spacing }) =>
            (s) =>
              pattern(s / wavelength, spacing, 0),
          hint: 'Your fringes are all equally bright. Each slit has a width, and its own pattern dims the outer ones.',
        },
        {
          name: 'one slit only',
          value:
            ({ wavelength, width }) =>
            (s) =>
              pattern(s / wavelength, 0, width),
          hint: 'This is the pattern of one slit. Where does the spacing come in?',
        },
        {
          name: 'fringes twice too fine',
          value: (given) => twoSlits(given, 2 * given.spacing),
          hint: 'Your fringes lie twice too close. The cosine takes half of the phase between the slits.',
        },
        {
          name: 'dark bar for spacing',
          value: (given) => twoSlits(given, given.spacing - given.width),
          hint: 'Your fringes are a little too wide, as if the spacing were the dark bar. It goes from centre to centre.',
        },
        {
          name: 'cosine not squared',
          value:
            ({ wavelength, spacing, width }) =>
            (s) =>
              Math.cos((Math.PI * spacing * s) / wavelength) *
              sincPi((width * s) / wavelength) ** 2,
          hint: 'Your value turns negative between fringes. Intensity is a square.',
        },
        {
          name: 'envelope not squared',
          value:
            ({ wavelength, spacing, width }) =>
            (s) =>
              Math.cos((Math.PI * spacing * s) / wavelength) ** 2 *
              sincPi((width * s) / wavelength),
          hint: 'The fringes are right, but they fade too slowly. The pattern of one slit enters as an intensity, too.',
        },
        {
          name: 'width and spacing exchanged',
          value: (given) => twoSlits(given, given.width, given.spacing),
          hint: 'Width and spacing have changed places: which of the two makes the fine fringes?',
        },
      ],
    },
    {
      id: '3.4',
      kind: 'number',
      asks: 'The bar that removes an order',
      marks: 2,
      unit: 'um',
      expected: ({ width, missing }) => (missing - 1) * width,
      tolerance: { relative: 0.01 },
      slips: [
        {
          name: 'spacing for bar',
          value: ({ width, missing }) => missing * width,
          hint: 'This is the spacing from centre to centre. The bar is what lies between the two slits.',
        },
        {
          name: 'one order too low',
          value: ({ width, missing }) => (missing - 2) * width,
          hint: 'With this bar an order nearer to the centre would be the first to go. Which spacing belongs to it?',
        },
        {
          name: 'dark condition of the fringes',
          value: ({ width, missing }) => (missing - 1.5) * width,
          hint: 'Half orders are dark anyway. A whole order is lost where one slit alone sends no light.',
        },
        {
          name: 'millimetres',
          value: ({ width, missing }) => ((missing - 1) * width) / 1000,
          hint: 'This looks like millimetres; micrometres are asked for.',
        },
      ],
    },
    {
      id: '3.5',
      kind: 'sealed',
      asks: 'Width of the central fringe',
      marks: 3,
      answer: 'number',
      unit: 'mm',
    },
    {
      id: '3.6',
      kind: 'number',
      asks: 'How far the fringes reach',
      marks: 2,
      unit: '1',
      expected: ({ wavelength, passband }) => (halfContrast * wavelength) / passband,
      tolerance: { relative: 0.01 },
      slips: [
        {
          name: 'contrast gone',
          value: ({ wavelength, passband }) => wavelength / passband,
          hint: 'Here the contrast has vanished altogether. The question asks where it has fallen to one half.',
        },
        {
          name: 'twice too far',
          value: ({ wavelength, passband }) => (2 * halfContrast * wavelength) / passband,
          hint: 'Twice too far. given.passband is the full width of the band, and orders are counted on one side.',
        },
        {
          name: 'π left out',
          value: ({ wavelength, passband }) => (Math.PI * halfContrast * wavelength) / passband,
          hint: 'About three times too far. Is π in your v?',
        },
        {
          name: 'squared',
          value: ({ wavelength, passband }) => (0.442946 * wavelength) / passband,
          hint: 'This is where the square of the sinc has fallen to one half. Contrast is the sinc itself.',
        },
      ],
    },
    {
      id: '3.7',
      kind: 'list',
      asks: 'The unlabelled pair',
      marks: 4,
      unit: 'um',
      expected: fittedPair,
      tolerance: { relative: 0.015 },
      slips: [
        {
          name: 'exchanged',
          value: (given) => [...fittedPair(given)].reverse(),
          hint: 'The order is [spacing, width]. Two slits cannot lie closer than they are wide.',
        },
        {
          name: 'dark bar for spacing',
          value: (given) => {
            const [d, a] = fittedPair(given);
            return [d - a, a];
          },
          hint: 'The width is right. Your first number is the dark bar; the spacing goes from centre to centre.',
        },
        {
          name: 'bright to dark',
          value: (given) => {
            const [d, a] = fittedPair(given);
            return [2 * d, a];
          },
          hint: 'The width is right. The fringe spacing is from bright to bright; did you take bright to dark?',
        },
        {
          name: 'whole band for half',
          value: (given) => {
            const [d, a] = fittedPair(given);
            return [d, a / 2];
          },
          hint: 'The spacing is right. For the width count from the centre to the first dark line of one slit, not across the whole central band.',
        },
        {
          name: 'millimetres',
          value: (given) => fittedPair(given).map((each) => each / 1000),
          hint: 'These look like millimetres; micrometres are asked for.',
        },
      ],
    },
    { id: '3.8', kind: 'written', asks: 'Where the fringes go', marks: 4 },
  ],
});
