import { arcminutes, degrees, halfAngle, type OpenQuestion, withoutEccentricity } from 'multislit';
import type { Given } from './given';

/** The vernier's setting as whole degrees and minutes past the half degree. */
function parts({ vernier }: Given): { whole: number; minutes: number } {
  const minutes = Math.round(vernier / arcminutes(1));
  return { whole: Math.floor(minutes / 60), minutes: (minutes % 60) - 30 };
}
const direction = ({ green }: Given, side: 'left' | 'right') => withoutEccentricity(green[side]);
const angle = (given: Given) => halfAngle(direction(given, 'left'), direction(given, 'right'));

const passesZero =
  'Between right and left the circle passes its own zero: 359° is followed by 0°. Add 360° to the smaller reading first.';
const halfTurn =
  'Somewhere half a turn, 180°, is lost. The second vernier stands opposite the first and shows 180° more, or 180° less where it has passed 360°. Look at both of your means: does each lie beside the reading of its first vernier?';

/** The direction on the left; none where it is by chance what another slip gives. */
function reading(given: Given): number {
  const left = direction(given, 'left');
  const theta = angle(given);
  const others = [theta, 2 * theta, Math.PI / 2 - theta];
  return others.some((other) => Math.abs(left - other) < arcminutes(2)) ? Number.NaN : left;
}

/** Where lines stand, the reading of a vernier, an angle from four readings. */
export const circle: readonly OpenQuestion<Given>[] = [
  {
    id: '6.1',
    kind: 'function',
    asks: 'Where a line stands',
    marks: 2,
    signature: '(order: number, wavelength: number) => number',
    points: () => [
      [1, 546e-9],
      [2, 500e-9],
      [-1, 650e-9],
      [-2, 620e-9],
      [3, 410e-9],
      [0, 550e-9],
    ],
    expected: ({ label }, order, wavelength) => Math.asin((order * wavelength) / label),
    tolerance: { relative: 0.002 },
    slips: [
      {
        name: 'degrees',
        value:
          ({ label }) =>
          (order, wavelength) =>
            Math.asin((order * wavelength) / label) / degrees(1),
        hint: 'It answers in degrees. Inside the code angles are in radians, as Math.asin gives them.',
      },
      {
        name: 'sine for angle',
        value:
          ({ label }) =>
          (order, wavelength) =>
            (order * wavelength) / label,
        hint: 'This is the sine of the angle. For angles as large as these sine and angle are not the same.',
      },
      {
        name: 'tangent',
        value:
          ({ label }) =>
          (order, wavelength) =>
            Math.atan((order * wavelength) / label),
        hint: 'The tangent was turned into the angle. Draw the lag of one slit’s ray behind the next: which side of the triangle is the spacing?',
      },
      {
        name: 'order left out',
        value:
          ({ label }) =>
          (_order, wavelength) =>
            Math.asin(wavelength / label),
        hint: 'It gives the first order, whatever the order is.',
      },
      {
        name: 'nanometres twice',
        value:
          ({ label }) =>
          (order, wavelength) =>
            Math.asin((order * wavelength * 1e-9) / label),
        hint: 'Its angles are next to nothing. The wavelength comes in metres already, as the spacing does: no nm( ) is needed inside.',
      },
      {
        name: 'half a wavelength',
        value:
          ({ label }) =>
          (order, wavelength) =>
            Math.asin(((order + 0.5) * wavelength) / label),
        hint: 'A bright line needs whole wavelengths of lag.',
      },
    ],
  },
  {
    id: '6.2',
    kind: 'number',
    asks: 'Reading a vernier',
    marks: 2,
    unit: 'deg',
    expected: ({ vernier }) => vernier,
    tolerance: { absolute: arcminutes(0.4) },
    digits: 6,
    slips: [
      {
        name: 'half degree overlooked',
        value: ({ vernier }) => vernier - arcminutes(30),
        hint: 'There is a shorter line between the degree and the zero of the vernier. How many minutes does it stand for?',
      },
      {
        name: 'circle only',
        value: (given) => degrees(parts(given).whole, 30),
        hint: 'This is the line of the circle before the zero of the vernier. The minutes of the vernier are still to be added.',
      },
      {
        name: 'next line of the circle',
        value: ({ vernier }) => vernier + arcminutes(30),
        hint: 'The last line before the zero of the vernier counts, not the next one after it.',
      },
      {
        name: 'circle where the lines meet',
        value: (given) => degrees(parts(given).whole) + arcminutes(30 + 30 * parts(given).minutes),
        hint: 'The circle was read where two lines meet. Read it at the zero of the vernier; where lines meet only the vernier is read.',
      },
      {
        name: 'both where the lines meet',
        value: (given) => degrees(parts(given).whole) + arcminutes(30 + 31 * parts(given).minutes),
        hint: 'The minutes are right, but the circle was read where the lines meet. Read it at the zero of the vernier.',
      },
      ...[-2, -1, 1, 2].map((lines) => ({
        name: `${Math.abs(lines)} ${Math.abs(lines) > 1 ? 'lines' : 'line'} ${lines < 0 ? 'before' : 'behind'}`,
        value: ({ vernier }: Given) => vernier + arcminutes(lines),
        hint: 'Very near: a neighbouring line of the vernier was taken for the one that meets. Compare it under the magnifier with those beside it.',
      })),
      ...[0, 30].map((more) => ({
        name: more > 0 ? 'minutes alone, with the half degree' : 'minutes alone',
        value: (given: Given) => degrees(parts(given).minutes + more),
        hint: 'These are the minutes alone. They are added to the degrees that the circle says at the zero of the vernier.',
      })),
      {
        name: 'degrees alone',
        value: (given) => degrees(parts(given).whole),
        hint: 'Whole degrees alone. A line for the half degree and the minutes of the vernier come to them.',
      },
      {
        name: 'minutes as decimals',
        value: (given) => degrees(parts(given).whole + (30 + parts(given).minutes) / 100),
        hint: 'The minutes seem to be written behind the decimal point. A degree has 60 of them; degrees(12, 34) / degrees(1) converts 12° 34′.',
      },
    ],
  },
  {
    id: '6.3',
    kind: 'number',
    asks: 'An angle from four readings',
    marks: 3,
    unit: 'deg',
    expected: angle,
    tolerance: { absolute: arcminutes(0.3) },
    digits: 6,
    slips: [
      {
        name: 'not halved',
        value: (given) => 2 * angle(given),
        hint: 'This is the angle from one side to the other. The order stands half as far from the straight direction.',
      },
      {
        name: 'long way round',
        value: (given) => Math.PI - angle(given),
        hint: passesZero,
      },
      {
        name: 'long way round, negative',
        value: (given) => angle(given) - Math.PI,
        hint: passesZero,
      },
      {
        name: 'long way, not halved',
        value: (given) => 2 * Math.PI - 2 * angle(given),
        hint: `${passesZero} And the difference is to be halved.`,
      },
      {
        name: 'long way, not halved, negative',
        value: (given) => 2 * angle(given) - 2 * Math.PI,
        hint: `${passesZero} And the difference is to be halved.`,
      },
      ...[
        { name: 'half a turn lost', value: (given: Given) => angle(given) - Math.PI / 2 },
        {
          name: 'half a turn lost, without sign',
          value: (given: Given) => Math.PI / 2 - angle(given),
        },
        { name: 'half a turn too many', value: (given: Given) => angle(given) + Math.PI / 2 },
      ].map((slip) => ({ ...slip, hint: halfTurn })),
      ...[
        {
          name: 'half a turn lost, not halved',
          value: (given: Given) => 2 * angle(given) - Math.PI,
        },
        {
          name: 'half a turn lost, not halved, without sign',
          value: (given: Given) => Math.PI - 2 * angle(given),
        },
        {
          name: 'half a turn too many, not halved',
          value: (given: Given) => 2 * angle(given) + Math.PI,
        },
      ].map((slip) => ({ ...slip, hint: `${halfTurn} And the difference is to be halved.` })),
      {
        name: 'first vernier only',
        value: ({ green: { left, right } }) => halfAngle(left.first, right.first),
        hint: 'This comes from the first vernier alone. It moves along an eccentric circle; the mean of both verniers does not.',
      },
      ...[
        {
          name: 'first vernier only, long way',
          value: ({ green: { left, right } }: Given) =>
            Math.PI - halfAngle(left.first, right.first),
        },
        {
          name: 'first vernier only, long way, negative',
          value: ({ green: { left, right } }: Given) =>
            halfAngle(left.first, right.first) - Math.PI,
        },
      ].map((slip) => ({
        ...slip,
        hint: `${passesZero} And this comes from the first vernier alone; the mean of both is asked for.`,
      })),
      {
        name: 'second vernier only',
        value: ({ green: { left, right } }) => halfAngle(left.second, right.second),
        hint: 'This comes from the second vernier alone. It moves along an eccentric circle; the mean of both verniers does not.',
      },
      {
        name: 'left reading',
        value: reading,
        hint: 'This is a reading, not an angle: the zero of the circle does not lie in the straight direction. Left and right together make it drop out.',
      },
    ],
  },
];
