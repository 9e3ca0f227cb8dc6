import { degrees, type OpenQuestion, sincPi } from 'multislit';
import { type Given, pattern } from './given';

/** Direction in which the two slits differ by m wavelengths. */
const angle = ({ wavelength, spacing }: Given, m: number) => Math.asin((m * wavelength) / spacing);
/** How many whole orders lie on one side within the central band. */
const oneSide = ({ spacing, width }: Given) => Math.floor(spacing / width);
/** The pattern as a function of s, with another spacing or width if told. */
const twoSlits =
  ({ wavelength, spacing, width }: Given, d = spacing, a = width) =>
  (s: number) =>
    pattern(s / wavelength, d, a);
/** The same, its α and β put together otherwise; 1 in the centre, where a student sees NaN and mends it. */
const mistyped =
  (formula: (alpha: number, beta: number) => number, centre = 1) =>
  ({ wavelength, spacing, width }: Given) =>
  (s: number) => {
    const [alpha, beta] = [spacing, width].map((each) => (Math.PI * each * s) / wavelength);
    return s === 0 ? centre : formula(alpha, beta);
  };
const sinc = (x: number) => (x === 0 ? 1 : Math.sin(x) / x);
const inDegrees = 180 / Math.PI;

/** Orders, fringes in the central band, the student's own formula. */
export const fringes: readonly OpenQuestion<Given>[] = [
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
        name: 'outer edges',
        value: ({ wavelength, width, spacing, order }) =>
          Math.asin((order * wavelength) / (spacing + width)),
        hint: 'This uses the distance of the outer edges. The spacing goes from centre to centre.',
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
    tolerance: { whole: true },
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
            Math.cos((Math.PI * spacing * s) / wavelength) * sincPi((width * s) / wavelength) ** 2,
        hint: 'Your value turns negative between fringes. Intensity is a square.',
      },
      {
        name: 'envelope not squared',
        value:
          ({ wavelength, spacing, width }) =>
          (s) =>
            Math.cos((Math.PI * spacing * s) / wavelength) ** 2 * sincPi((width * s) / wavelength),
        hint: 'The fringes are right, but they fade too slowly. The pattern of one slit enters as an intensity, too.',
      },
      {
        name: 'amplitude, nothing squared',
        value: mistyped((alpha, beta) => Math.cos(alpha) * sinc(beta)),
        hint: 'This is the amplitude, which turns negative between fringes. Intensity is its square: both factors are squared.',
      },
      {
        name: 'degrees',
        value: mistyped(
          (alpha, beta) => Math.cos(alpha * inDegrees) ** 2 * sinc(beta * inDegrees) ** 2,
        ),
        hint: 'α and β seem to have been turned into degrees. Math.cos and Math.sin take radians, and that is what the formulas for α and β give.',
      },
      {
        name: 'degrees in sine and cosine',
        value: mistyped((alpha, beta) => {
          const [a, b] = [alpha, beta].map((each) => each * inDegrees);
          return (Math.cos(a) * (Math.sin(b) / beta)) ** 2;
        }),
        hint: 'The cosine and the sine got degrees. They take radians, and that is what the formulas for α and β give.',
      },
      {
        name: 'no brackets below the stroke',
        // sin β / π · a s / λ, as it is read from left to right.
        value: mistyped(
          (alpha, beta) => Math.cos(alpha) ** 2 * ((Math.sin(beta) * beta) / Math.PI ** 2) ** 2,
          0,
        ),
        hint: 'It is dark in the centre. What is divided by needs brackets, or a name of its own: a / b * c is read as (a / b) * c.',
      },
      {
        name: 'no brackets below the stroke, 1 in the middle',
        value: mistyped(
          (alpha, beta) => Math.cos(alpha) ** 2 * ((Math.sin(beta) * beta) / Math.PI ** 2) ** 2,
        ),
        hint: 'Beside the centre it is dark. What is divided by needs brackets, or a name of its own: a / b * c is read as (a / b) * c.',
      },
      {
        name: 'only β squared',
        value: mistyped((alpha, beta) => (Math.cos(alpha) ** 2 * Math.sin(beta)) / beta ** 2),
        hint: 'Only the β below the stroke is squared. Brackets around sin β / β let the square count for both.',
      },
      {
        name: 'only the sine squared',
        value: mistyped((alpha, beta) => (Math.cos(alpha) ** 2 * Math.sin(beta) ** 2) / beta),
        hint: 'Only the sine above the stroke is squared. Brackets around sin β / β let the square count for both.',
      },
      {
        name: 'width and spacing exchanged',
        value: (given) => twoSlits(given, given.width, given.spacing),
        hint: 'Width and spacing have changed places: which of the two makes the fine fringes?',
      },
    ],
  },
];
