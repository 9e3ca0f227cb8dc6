import { degrees, mm, type OpenQuestion, sincPi } from 'multislit';
import { angle, angles, type Given, halfBand, sides } from './given';

/** Dark lines, the central band, the student's own formula, the side maxima. */
export const pattern: readonly OpenQuestion<Given>[] = [
  {
    id: '2.1',
    kind: 'number',
    asks: 'The first dark line',
    marks: 2,
    unit: 'deg',
    expected: (given) => angle(given, 1),
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'radians',
        value: (given) => degrees(angle(given, 1)),
        hint: 'Math.asin answers in radians. The question asks for degrees: one radian is about 57.3 of them.',
      },
      {
        name: 'minutes of arc',
        value: (given) => 60 * angle(given, 1),
        hint: 'This looks like minutes of arc. How many of them make one degree?',
      },
      {
        name: 'twice the angle',
        value: (given) => 2 * angle(given, 1),
        hint: 'The angle is counted from the axis to the first dark line on one side. Did you take both sides together, or the second line?',
      },
      {
        name: 'half a wavelength',
        value: (given) => angle(given, 0.5),
        hint: 'Half a wavelength is the lag between the two halves of the slit. How large is the lag between its two edges then?',
      },
      {
        name: 'bright band',
        value: (given) => angle(given, 1.5),
        hint: 'Near this direction lies the first bright band beside the centre. Whole wavelengths of lag between the edges make darkness.',
      },
      {
        name: 'round hole',
        value: (given) => angle(given, 1.22),
        hint: 'The factor 1.22 belongs to a round hole. The edges of a slit are straight.',
      },
    ],
  },
  {
    id: '2.2',
    kind: 'number',
    asks: 'The central band on the film',
    marks: 2,
    unit: 'mm',
    expected: (given) => 2 * halfBand(given),
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'one side',
        value: halfBand,
        hint: (_, shown) =>
          `${shown} is the way from the centre to one dark line. The band ends on both sides.`,
      },
      {
        name: 'twice too wide',
        value: (given) => 4 * halfBand(given),
        hint: 'This is twice too much. Between which two dark lines does the central band lie?',
      },
      {
        name: 'degrees in the tangent',
        value: (given) => 2 * given.focalLength * Math.tan((angle(given, 1) * 180) / Math.PI),
        hint: 'Math.tan wants radians. It seems to have been given the number of degrees.',
      },
      {
        name: 'metres',
        value: (given) => mm(2 * halfBand(given)),
        hint: 'This is the number of metres. Divide a length by mm(1) to have it in millimetres.',
      },
      {
        name: 'centimetres',
        value: (given) => 0.2 * halfBand(given),
        hint: 'This looks like centimetres; millimetres are asked for.',
      },
      {
        name: 'width at half height',
        value: (given) => 0.885893 * halfBand(given),
        hint: 'This is the width at half of the full intensity. The band is to be measured from dark line to dark line.',
      },
    ],
  },
  {
    id: '2.3',
    kind: 'function',
    asks: 'Your own intensity',
    marks: 3,
    signature: '(s: number) => number',
    points: ({ wavelength, width }) =>
      [0, 0.31, -0.62, 0.87, 1.28, 1.43, -1.71, 2.46, 3.3].map((m) => [(m * wavelength) / width]),
    expected: ({ wavelength, width }, s) => sincPi((width * s) / wavelength) ** 2,
    tolerance: { relative: 0.001 },
    slips: [
      {
        name: 'not squared',
        value:
          ({ wavelength, width }) =>
          (s) =>
            sincPi((width * s) / wavelength),
        hint: 'This is the amplitude: it turns negative beyond the first dark line. The film records its square.',
      },
      {
        name: 'π left out',
        value:
          ({ wavelength, width }) =>
          (s) =>
            sincPi((width * s) / (Math.PI * wavelength)) ** 2,
        hint: 'Your pattern is about three times too wide. Is π in your β, and is it there only once?',
      },
      {
        name: 'π twice',
        value:
          ({ wavelength, width }) =>
          (s) =>
            sincPi((Math.PI * width * s) / wavelength) ** 2,
        hint: 'Your pattern is about three times too narrow: π seems to enter twice.',
      },
      ...[1, 0].map((middle) => ({
        name: `no brackets below the stroke, ${middle} in the middle`,
        // sin β / π · a s / λ, as it is read from left to right.
        value:
          ({ wavelength, width }: Given) =>
          (s: number) => {
            const share = (width * s) / wavelength;
            return s === 0 ? middle : ((Math.sin(Math.PI * share) / Math.PI) * share) ** 2;
          },
        hint: 'What is divided by needs brackets, or a name of its own: a / b * c is read as (a / b) * c. A line const beta = … helps.',
      })),
      {
        name: 'only β squared',
        value:
          ({ wavelength, width }) =>
          (s) => {
            const beta = (Math.PI * width * s) / wavelength;
            return s === 0 ? 1 : Math.sin(beta) / beta ** 2;
          },
        hint: 'Only the β below the stroke is squared. Brackets around sin β / β let the square count for both.',
      },
      {
        name: 'degrees',
        value:
          ({ wavelength, width }) =>
          (s) =>
            sincPi((180 * width * s) / (Math.PI * wavelength)) ** 2,
        hint: 'β seems to have been turned into degrees. Math.sin takes radians, and that is what the formula for β gives.',
      },
      {
        name: 'half the width',
        value:
          ({ wavelength, width }) =>
          (s) =>
            sincPi((width * s) / (2 * wavelength)) ** 2,
        hint: 'Your first dark line lies twice too far out. Look at the factors in β again.',
      },
      {
        name: 'twice the width',
        value:
          ({ wavelength, width }) =>
          (s) =>
            sincPi((2 * width * s) / wavelength) ** 2,
        hint: 'Your first dark line lies half-way in. Look at the factors in β again.',
      },
      {
        name: 'squared cosine',
        value:
          ({ wavelength, width }) =>
          (s) =>
            Math.cos((Math.PI * width * s) / wavelength) ** 2,
        hint: 'Your side bands are as bright as the centre. That is the pattern of two very narrow slits; one wide slit fades to the sides.',
      },
    ],
  },
  {
    id: '2.4',
    kind: 'list',
    asks: 'The true side maxima',
    marks: 3,
    unit: 'mrad',
    expected: (given) => angles(given, ...sides.slice(0, 2)),
    tolerance: { relative: 0.005 },
    digits: 4,
    slips: [
      {
        name: 'half-way',
        value: (given) => angles(given, 1.5, 2.5),
        hint: 'These lie exactly half-way between dark lines. The fading of the pattern pulls each maximum a little toward the centre: find where the slope is really zero.',
      },
      {
        name: 'dark lines',
        value: (given) => angles(given, 1, 2),
        hint: 'Here the slope is zero as well, but the intensity too: these are dark lines. The maxima lie between them.',
      },
      {
        name: 'first one left out',
        value: (given) => angles(given, sides[1], sides[2]),
        hint: 'These are two true maxima, but there is one nearer to the centre.',
      },
      {
        name: 'degrees',
        value: (given) =>
          angles(given, ...sides.slice(0, 2)).map((each) => (each * 180) / Math.PI / 1000),
        hint: 'These look like degrees. A milliradian is a thousandth of a radian.',
      },
      {
        name: 'radians',
        value: (given) => angles(given, ...sides.slice(0, 2)).map((each) => each / 1000),
        hint: 'These are radians: divide by mrad(1), a thousandth of a radian.',
      },
      {
        name: 'β itself',
        value: () => sides.slice(0, 2).map((each) => (Math.PI * each) / 1000),
        hint: 'These are the two β. Each belongs to a direction, and its angle is asked for.',
      },
      {
        name: 'the centre counted',
        value: (given) => [0, angles(given, sides[0])[0]],
        hint: 'The maximum at 0 is the centre itself. Count from the first one beside it.',
      },
      {
        name: 'second one left out',
        value: (given) => [undefined, angles(given, sides[2])[0]],
        hint: 'The second of these is a true maximum, but there is one between it and the first.',
      },
      {
        name: 'β taken for a s / λ',
        value: (given) => angles(given, Math.PI * sides[0], Math.PI * sides[1]),
        hint: 'You found β. To come from β to the direction, β = πas/λ must be solved for s, with its π.',
      },
    ],
  },
];
