import { defineSheet, um } from 'multislit';
import { fringes } from './fringes';
import { fittedPair, type Given, givens, tells } from './given';

/** A bar that removes the order by the k-th dark line of one slit; none where an earlier order goes first. */
const byDarkLine =
  (k: number) =>
  ({ width, missing }: Given) =>
    k < missing && missing % k !== 0 ? (missing / k - 1) * width : Number.NaN;
const narrower = (which: string) =>
  `This bar does remove the order, by the ${which} dark line of one slit. A wider one does so, too: by an earlier dark line.`;

/** Spacing and width of the student's own pair; none where the other pair is nearly the same. */
function ownPair(given: Given): number[] {
  const own = [given.spacing, given.width];
  const isNear = fittedPair(given).every((each, i) => Math.abs(own[i] / each - 1) < 0.04);
  return isNear ? [Number.NaN, Number.NaN] : own;
}

const withoutUnit =
  'A slit is not metres wide. The code counts in metres: do both rough values stand inside um( )?';

/** v with sin πv / πv = 1/2. */
const halfContrast = 0.60335;

export default defineSheet<Given>({
  name: '03-two-slits',
  title: 'Two slits',
  givens,
  tells,
  questions: [
    ...fringes,
    {
      id: '3.4',
      kind: 'number',
      asks: 'The widest bar that removes an order',
      marks: 2,
      unit: 'um',
      expected: ({ width, missing }) => (missing - 1) * width, // d = m a, the first dark line
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
          name: 'slit added',
          value: ({ width, missing }) => (missing + 1) * width,
          hint: 'A slit was added to the spacing. The bar is what is left of the spacing between the slits.',
        },
        { name: 'second dark line', value: byDarkLine(2), hint: narrower('second') },
        { name: 'third dark line', value: byDarkLine(3), hint: narrower('third') },
        { name: 'fourth dark line', value: byDarkLine(4), hint: narrower('fourth') },
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
          name: 'half of the way',
          value: ({ wavelength, passband }) => (0.5 * wavelength) / passband,
          hint: 'This is half of the order at which the contrast vanishes. It does not fall evenly: look at sin v / v.',
        },
        {
          name: 'upside down',
          value: ({ wavelength, passband }) => (halfContrast * passband) / wavelength,
          hint: 'Wavelength and width of the band have changed places. Here not even the first order could be counted.',
        },
        {
          name: 'v in degrees',
          value: ({ wavelength, passband }) => (180 * halfContrast * wavelength) / passband,
          hint: 'Your v was turned into degrees. Math.sin takes radians, and v = π m Δλ/λ is in radians.',
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
          value: (given) => [2 * fittedPair(given)[0], undefined],
          hint: 'The spacing: f λ/d is the way from one dark line to the next. Did you take bright to dark?',
        },
        {
          name: 'whole band for half',
          value: (given) => [undefined, fittedPair(given)[1] / 2],
          hint: 'The width: count from the centre to the first dark line of one slit, not across the whole central band.',
        },
        {
          name: 'the pair of 3.1 to 3.6',
          value: ownPair,
          hint: 'This is your own pair, of which 3.1 to 3.6 speak. Here another pair stood in the beam: does `pair` in the cell use the spacing and the width that it is told, or the given ones?',
        },
        {
          name: 'the function of 3.3 reused',
          value: () => [0, 0],
          within: { absolute: 1e-12 },
          hint: 'No pair has slits without width. If the fit has not converged, spacing and width may change nothing in it: does `pair` use those that it is told, or call the function of 3.3, which knows your own pair only?',
        },
        {
          name: 'numbers of the cell',
          value: () => [um(50), um(20)],
          hint: 'These numbers stood in the cell to begin with. Put what you read from the curve in their place, and see that `pair` uses the spacing and the width that it is told: else the fit can change nothing.',
        },
        {
          name: 'rough spacing without um()',
          value: (given) => [fittedPair(given)[0] * 1e6, undefined],
          within: { relative: 0.5 },
          hint: withoutUnit,
        },
        {
          name: 'rough width without um()',
          value: (given) => [undefined, fittedPair(given)[1] * 1e6],
          within: { relative: 0.5 },
          hint: withoutUnit,
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
