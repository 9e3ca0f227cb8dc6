import { linearFromSrgb, mm, type OpenQuestion, srgbFromLinear, um } from 'multislit';
import { fittedPixel, type Given } from './given';

/** From bright line to bright line on the screen, by the label of the slide. */
function predicted({ distance, wavelength, label }: Given, order = 1): number {
  return distance * Math.tan(Math.asin((order * wavelength) / label));
}

/** Half of the widest row: from the middle to the outer edge of the fifth slit. */
const halfRow = ({ label }: Given) => 2 * label + label / 6;
const fresnel = ({ wavelength, distance }: Given, w: number) => w ** 2 / (wavelength * distance);

/** What is to be expected, whether the screen is far, the scale of the picture, the camera's curve. */
export const calibrate: readonly OpenQuestion<Given>[] = [
  {
    id: '7.1',
    kind: 'number',
    asks: 'What to expect on the screen',
    marks: 2,
    unit: 'mm',
    expected: (given) => predicted(given),
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'bright to dark',
        value: (given) => predicted(given, 0.5),
        hint: 'Half a wavelength of lag between neighbours: that is the direction half-way to the next bright line. Go on to the bright line itself.',
      },
      {
        name: 'both sides',
        value: (given) => 2 * predicted(given),
        hint: 'This is the way from the bright line on one side to that on the other, or to the second one. The next line beside the middle is asked for.',
      },
      {
        name: 'degrees',
        value: (given) => mm((Math.asin(given.wavelength / given.label) * 180) / Math.PI),
        hint: 'This looks like the angle in degrees. How far from the middle does that direction meet the screen?',
      },
      {
        name: 'centimetres',
        value: (given) => predicted(given) / 10,
        hint: 'This looks like centimetres; millimetres are asked for.',
      },
      {
        name: 'metres',
        value: (given) => predicted(given) / 1000,
        hint: 'This is the number of metres. Divide a length by mm(1) to have it in millimetres.',
      },
    ],
  },
  {
    id: '7.2',
    kind: 'number',
    asks: 'Whether the screen is far',
    marks: 2,
    unit: '1',
    expected: (given) => fresnel(given, halfRow(given)),
    tolerance: { relative: 0.05 },
    digits: 2,
    slips: [
      {
        name: 'whole width',
        value: (given) => fresnel(given, 2 * halfRow(given)),
        hint: 'Four times too large: w is half of the width of the row.',
      },
      {
        name: 'middles of the outer slits',
        value: (given) => fresnel(given, 2 * given.label),
        hint: 'This row ends in the middles of its outer slits. Their outer halves are lit, too.',
      },
      {
        name: 'five spacings',
        value: (given) => fresnel(given, 2.5 * given.label),
        hint: 'Five spacings were taken for the width of the row. Between the middles of five slits lie four.',
      },
      {
        name: 'one slit',
        value: (given) => fresnel(given, given.label / 6),
        hint: 'This is the Fresnel number of one slit. All slits together make the pattern: the whole row counts.',
      },
      {
        name: 'upside down',
        value: (given) => 1 / fresnel(given, halfRow(given)),
        hint: 'The fraction is upside down: a screen far away has a small Fresnel number.',
      },
    ],
  },
  {
    id: '7.3',
    kind: 'number',
    asks: 'The scale of the picture',
    marks: 3,
    unit: 'um',
    expected: (given) => fittedPixel(given).value,
    uncertainty: (given) => fittedPixel(given).u,
    tolerance: { uncertainties: 2 },
    slips: [
      {
        name: 'pixels per millimetre',
        value: (given) => um(mm(1) / fittedPixel(given).value),
        hint: 'This is the number of pixels in a millimetre. How much of the screen does one pixel show?',
      },
      {
        name: 'pixels per centimetre',
        value: (given) => um(mm(10) / fittedPixel(given).value),
        hint: 'This is the number of pixels in a centimetre. How much of the screen does one pixel show?',
      },
      {
        name: 'marks counted, not steps',
        value: (given) => {
          const steps = given.marks.length - 1;
          return (fittedPixel(given).value * (steps + 1)) / steps;
        },
        hint: 'The marks seem to have been counted. Between so many marks lies one step fewer.',
      },
      {
        name: 'marks one millimetre apart',
        value: (given) => fittedPixel(given).value / 10,
        hint: 'The marks were taken to be one millimetre apart. They are those of whole centimetres.',
      },
      {
        name: 'millimetres',
        value: (given) => fittedPixel(given).value / 1000,
        hint: 'This looks like millimetres; micrometres are asked for.',
      },
    ],
  },
  {
    id: '7.4',
    kind: 'function',
    asks: 'From the code back to the light',
    marks: 3,
    signature: '(code: number) => number',
    points: () => [[0], [4], [9], [11], [40], [97], [128], [186], [230], [255]],
    expected: (_given, code) => linearFromSrgb(code / 255),
    tolerance: { relative: 0.0004 },
    slips: [
      {
        name: 'no curve',
        value: () => (code) => code / 255,
        hint: 'It takes the code for light as it is. A camera’s code grows much more slowly than the light.',
      },
      {
        name: 'the other way',
        value: () => (code) => srgbFromLinear(code / 255),
        hint: 'It turns light into a code. The other direction is asked for: half of the largest code is much less than half of the light.',
      },
      {
        name: 'power only',
        value: () => (code) => (code / 255) ** 2.4,
        hint: 'The shift by 0.055 is missing in the part with the power.',
      },
      {
        name: 'power 2.2',
        value: () => (code) => (code / 255) ** 2.2,
        hint: 'A plain power of 2.2 comes near, but the standard is not one plain power.',
      },
      {
        name: 'no straight part',
        value: () => (code) => ((code / 255 + 0.055) / 1.055) ** 2.4,
        hint: 'Bright codes are right. For very small ones the standard has a straight line: look at the case distinction.',
      },
      {
        name: 'straight part only',
        value: () => (code) => code / 255 / 12.92,
        hint: 'The straight line holds for the smallest codes only.',
      },
    ],
  },
];
