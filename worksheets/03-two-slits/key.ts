import { defineKey, findRoot, type OpenQuestion } from 'multislit';
import { sampleAnswers } from '../sample-answers';
import { type Given, pattern } from './given';
import sheet from './sheet';

/** Full width on the film between the two directions where the intensity is one half. */
function fullWidth({ wavelength, spacing, width, focalLength }: Given): number {
  const q = findRoot((each) => pattern(each, spacing, width) - 0.5, 0, 1 / (2 * spacing));
  return 2 * focalLength * Math.tan(Math.asin(q * wavelength));
}

const sealed: Record<string, OpenQuestion<Given>> = {
  '3.5': {
    id: '3.5',
    kind: 'number',
    asks: 'Width of the central fringe',
    marks: 3,
    unit: 'mm',
    expected: fullWidth,
    tolerance: { relative: 0.004 },
    digits: 4,
    slips: [
      {
        name: 'one side',
        value: (given) => fullWidth(given) / 2,
        hint: 'This is the way from the centre to one side; the full width reaches to both.',
      },
      {
        name: 'width of the slits left out',
        value: ({ focalLength, wavelength, spacing }) => (focalLength * wavelength) / (2 * spacing),
        hint: 'This is the width for very narrow slits. The pattern of one slit dims the flanks and makes the fringe a little narrower.',
      },
      {
        name: 'from dark to dark',
        value: ({ focalLength, wavelength, spacing }) => (focalLength * wavelength) / spacing,
        hint: 'This is the distance between the dark lines beside the centre, not the width at half maximum.',
      },
      {
        name: 'one slit',
        value: ({ focalLength, wavelength, width }) =>
          (0.885893 * focalLength * wavelength) / width,
        hint: 'This is the width for one slit alone.',
      },
      {
        name: 'metres',
        value: (given) => fullWidth(given) / 1000,
        hint: 'This is the number of metres; millimetres are asked for.',
      },
    ],
  },
};

export default defineKey<Given>({
  sheet,
  sealed,
  model: {
    '3-1-work': `const orderAngle = Math.asin((given.order * given.wavelength) / given.spacing) / degrees(1);`,
    '3-2-work': `// Order m lies inside the band while mλ/d is less than λ/a, that is while m is less than d/a.
const oneSide = Math.floor(given.spacing / given.width);
const fringeCount = 2 * oneSide + 1;`,
    '3-3-work': `function intensity(s: number): number {
  const alpha = (Math.PI * given.spacing * s) / given.wavelength;
  const beta = (Math.PI * given.width * s) / given.wavelength;
  const amplitude = beta === 0 ? 1 : Math.sin(beta) / beta;
  return Math.cos(alpha) ** 2 * amplitude ** 2;
}

show(patternPlot({ s: directions, intensity: directions.map(intensity) }));`,
    '3-4-work': `// One slit is dark at kλ/a. Order m is there when mλ/d = kλ/a, so d = m a/k: widest for k = 1. The bar is d − a.
const darkBar = ((given.missing - 1) * given.width) / um(1);`,
    '3-5-work': `// The first dark line beside the centre lies at s = λ/2d; half maximum comes before it.
const halfway = findRoot((s) => intensity(s) - 0.5, 0, given.wavelength / (2 * given.spacing));
const fringeWidth = (2 * given.focalLength * Math.tan(Math.asin(halfway))) / mm(1);`,
    '3-6-work': `const v = findRoot((x) => Math.sin(x) / x - 0.5, 1, 3);
const lastOrder = (v * given.wavelength) / (Math.PI * given.passband);`,
    '3-7-work': `const { positions, counts, noise } = given.profile;
show(linePlot({ x: positions, y: counts, as: 'line' }, axes));

function pair(s: number, spacing: number, width: number): number {
  const alpha = (Math.PI * spacing * s) / given.wavelength;
  const beta = (Math.PI * width * s) / given.wavelength;
  return Math.cos(alpha) ** 2 * sinc(beta) ** 2;
}

const model = (x: number, [spacing, width, centre, height, dark]: readonly number[]) =>
  dark + height * pair((x - centre) / given.focalLength, spacing, width);

// The record ends a little beyond the first dark line of one slit, which gives a rough width.
// In the place of a spacing read from the curve, several are tried; the one that lies nearest is refined.
const roughWidth = (1.3 * given.focalLength * given.wavelength) / positions[positions.length - 1];
const total = counts.reduce((sum, each) => sum + each, 0);
const centre = positions.reduce((sum, x, i) => sum + x * counts[i], 0) / total;
const misfit = (tried: number[]) =>
  positions.reduce((sum, x, i) => sum + (counts[i] - model(x, tried)) ** 2, 0);
const tries = [2.2, 2.3, 2.7, 2.8, 3.2, 3.3, 3.7, 3.8].map((ratio) =>
  [ratio * roughWidth, roughWidth, centre, 3000, 100]);
const start = tries.reduce((best, each) => (misfit(each) < misfit(best) ? each : best));
const fit = fitCurve(model, { x: positions, y: counts, u: noise }, start);
const fitted = fit.parameters.map((each) => each.value);
show(() => fitPlot({ x: positions, y: counts, u: noise }, (x) => model(x, fitted), { ...axes, fit }));

const unlabelledPair = [fitted[0] / um(1), fitted[1] / um(1)];`,
    '3-8-written': `(a) The order $m$ lies at $\\sin\\theta=m\\lambda/d$, so each wavelength has its own fringe spacing; red fringes are wider than blue ones. Only in the centre, $m=0$, do they all coincide; there it is white. In the first order blue comes to its maximum before green, and green before red, so the line is blue inside and red outside; where green is dark, some blue and red are left, and the line between is not black but purple. Farther out the bright fringe of one wavelength falls on the dark line of another, the colours overlap, and the contrast is gone. In 3.6 a band of some tens of nanometres reaches down to half contrast after a limited number of orders; white light is a band of about 300 nm, so only the first two or three orders stay distinct.

(b) With one slit the amplitude in the centre is half as large, so the intensity falls to one quarter. The fringes vanish; the broad band of one slit is left. The dark line beside the centre becomes bright, nearly one quarter of the former centre, since nothing cancels the open slit's light any more. Half of the light is stopped; the rest is spread over the broad band of one slit, in which it was gathered in fringes before.`,
  },
  schemes: {
    '3.8': [
      {
        marks: 1,
        point:
          'Each wavelength has its own fringe spacing (λ/d); all coincide only in the centre, which is white.',
      },
      {
        marks: 1,
        point:
          'Beside it red fringes lie farther out than blue ones, hence coloured lines; then bright fringes of one wavelength fall on dark lines of another, and the contrast is gone; a wide band allows few orders (uses 3.6).',
      },
      {
        marks: 1,
        point: 'With one slit covered the centre falls to one quarter: half the amplitude.',
      },
      {
        marks: 1,
        point:
          'The fringes vanish and the dark line beside the centre turns bright; the remaining light is spread over the one-slit band.',
      },
    ],
  },
  instructor: `# Two slits: for the instructor

## Purpose
The student sees that two slits cut the band of one slit into fringes, keeps the two lengths apart (spacing makes fringes, width makes the envelope), finds missing orders and the narrower centre, learns how the range of wavelengths limits the number of fringes, and gets spacing and width back from a recorded profile.

## Answers for the sample student
${sampleAnswers(sheet, sealed)}

## Usual troubles
- 3.1: counting the centre as order 1; the dark bar or the width in place of the spacing.
- 3.2: one side only, or the centre left out. The outermost fringe inside the band is weak; on the strip with long exposure it is there.
- 3.2: near the edge of the band a faint rim of the next fringe may be seen; its own direction lies outside.
- 3.4: spacing and bar are mixed up. Draw both slits to scale on the board. Bars of (m/k − 1) a also remove the order m first, where k has no factor in common with m; the hint says so, and the widest, k = 1, is asked for.
- 3.5: the answer for very narrow slits, fλ/2d, is 0.9 to 2.7 % too large; the tolerance tells the two apart, so four digits are needed.
- 3.6: half of the passband in place of the full one.
- 3.7: a fit started with a wrong number of fringes ends in a wrong valley; the residuals show it at once. Students should count fringes on the curve first. A fit that has not converged says so above its figure; one whose \`pair\` calls the function of 3.3 does, since spacing and width then change nothing. Distances between bright fringes give a spacing that is 2 to 8 % too large; dark lines do not move.

## Time
60 minutes at home or in class; 20 more with the demonstration.

## Apparatus for the real demonstration
A 12 V, 50 W filament lamp behind a condenser, which lights a source slit (0.1 mm) in the focus of a collimator; a pair of slits on a slide, and a shutter for one of them; a camera or a telescope focused for infinity; green and red filters. Open the source slit slowly and let the class see the fringes fade.

## Safety
Use the lamp or daylight from an overcast sky. Direct sunlight and lasers only as your local rules allow and with the consent of the responsible safety officer; nobody looks along the beam or through a lens or telescope at the source. Lamp housings get hot.
`,
});
