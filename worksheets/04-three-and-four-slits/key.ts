import { defineKey, findRoot, type OpenQuestion } from 'multislit';
import { sampleAnswers } from '../sample-answers';
import { comb, countedSlits, type Given, halfway } from './given';
import sheet from './sheet';

const narrower = ({ count }: Given) => halfway(2) / halfway(count);

const sealed: Record<string, OpenQuestion<Given>> = {
  '4.6': {
    id: '4.6',
    kind: 'number',
    asks: 'How much narrower',
    marks: 3,
    unit: '1',
    expected: narrower,
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'by the first dark lines',
        value: ({ count }) => count / 2,
        hint: 'This compares the distances to the first dark lines. At half maximum the ratio is a little larger.',
      },
      {
        name: 'number of slits',
        value: ({ count }) => count,
        hint: 'This is the number of slits; the comparison is with two slits, not with one.',
      },
      {
        name: 'upside down',
        value: (given) => 1 / narrower(given),
        hint: 'This is smaller than 1: the ratio is upside down.',
      },
      {
        name: 'half of the amplitude',
        value: ({ count }) => Math.PI / 3 / halfAmplitude(count),
        hint: 'These are the places where the amplitude is one half; there the intensity is one quarter.',
      },
    ],
  },
  '4.8': {
    id: '4.8',
    kind: 'number',
    asks: 'The uncounted slide',
    marks: 2,
    unit: '1',
    expected: countedSlits,
    tolerance: { whole: true },
    slips: [
      {
        name: 'weak maxima',
        value: (given) => countedSlits(given) - 2,
        hint: 'This is the number of weak maxima between two bright lines.',
      },
      {
        name: 'dark lines',
        value: (given) => countedSlits(given) - 1,
        hint: 'This is the number of dark lines between two bright lines.',
      },
      {
        name: 'one too many',
        value: (given) => countedSlits(given) + 1,
        hint: 'One too many. A bright line seems to be counted as a weak maximum.',
      },
    ],
  },
};

/** α at which the amplitude of N slits has fallen to one half. */
function halfAmplitude(count: number): number {
  return findRoot((alpha) => comb(count, alpha) - 0.5, 0, Math.PI / count);
}

export default defineKey<Given>({
  sheet,
  sealed,
  model: {
    '4-1-work': `// Three slits: 2 dark lines, 1 weak maximum. Four: 3 and 2. So N slits: N − 1 and N − 2.
const linesAndMaxima = [given.count - 1, given.count - 2];`,
    '4-2-work': `// Four arrows close to a square when each is turned by a quarter: d sin θ = λ/4.
const quarter = Math.asin(given.wavelength / (4 * given.spacing));
const firstDarkLine = (given.focalLength * Math.tan(quarter)) / mm(1);`,
    '4-3-work': `// Add the four arrows, each 1/4 long and turned by the phase against the one before it.
const turns = [0, 1, 2, 3].map((k) => k * given.phase);
const along = turns.reduce((sum, turn) => sum + Math.cos(turn) / 4, 0);
const across = turns.reduce((sum, turn) => sum + Math.sin(turn) / 4, 0);
const arrowSum = Math.hypot(along, across);

const inThisDirection = (given.phase * given.wavelength) / (2 * Math.PI * given.spacing);
show(phasorPolygon(phasors(fourSlits, given.wavelength, inThisDirection)));`,
    '4-4-work': `function pattern(count: number, s: number): number {
  if (s === 0) return 1;
  const alpha = (Math.PI * given.spacing * s) / given.wavelength;
  const beta = (Math.PI * given.width * s) / given.wavelength;
  const arrows = Math.sin(count * alpha) / (count * Math.sin(alpha));
  return arrows ** 2 * (Math.sin(beta) / beta) ** 2;
}

const curve = (count: number) =>
  ({ name: count + ' slits', s: directions, intensity: directions.map((s) => pattern(count, s)) });
show(patternPlot([curve(3), curve(4), curve(given.count)]));`,
    '4-5-work': `const N = given.count;
const slope = (alpha: number) =>
  N * Math.cos(N * alpha) * Math.sin(alpha) - Math.sin(N * alpha) * Math.cos(alpha);
const top = findRoot(slope, Math.PI / N, (2 * Math.PI) / N);
const weakHeight = 100 * (Math.sin(N * top) / (N * Math.sin(top))) ** 2;`,
    '4-6-work': `// Where the bright line of so many slits has fallen to one half.
function halfMaximum(count: number): number {
  const above = (alpha: number) => (Math.sin(count * alpha) / (count * Math.sin(alpha))) ** 2 - 0.5;
  return findRoot(above, 0.01, Math.PI / count);
}
const timesNarrower = halfMaximum(2) / halfMaximum(given.count);`,
    '4-7-work': `const open = given.count ** 2;   // all arrows in one line
const centre = (given.count - 1) ** 2;   // one arrow fewer
const wasDark = 1;   // the polygon lacks one side; what is left is as long as that side
const brightness = [open, centre, wasDark];`,
    '4-8-work': `const { positions, counts } = given.profile;

// The number of slits whose pattern lies nearest to the record.
const directionSines = positions.map((x) => Math.sin(Math.atan(x / given.focalLength)));
const computedFor = (count: number) => directionSines.map((s) => 100 + 3000 * pattern(count, s));
const misfit = (count: number) =>
  computedFor(count).reduce((sum, y, i) => sum + (y - counts[i]) ** 2, 0);
const candidates = [2, 3, 4, 5, 6, 7, 8];
const slitCount = candidates.reduce((best, each) => (misfit(each) < misfit(best) ? each : best));

const computed = computedFor(slitCount);
show(linePlot([
  { name: 'record', x: positions, y: counts, as: 'line' },
  { name: 'computed', x: positions, y: computed, as: 'line' },
], axes));`,
    '4-9-written': `(a) Each slit adds one arrow, turned by the same phase against the one before. Three equal arrows can close in only two ways before they all point the same way again: turned by one third of a full turn, or by two thirds, which gives triangles. Hence two dark lines. Four arrows close when turned by a quarter (a square), a half (there and back) or three quarters: three dark lines.

(b) With N slits N times as much light comes through, but in the centre the N arrows lie in one line, and the intensity is the square of the sum, N² times that of one slit. There is no contradiction: the bright lines are narrower in about the ratio 1/N (4.6), and between them it is almost dark. N² times as bright and N times as narrow makes N times as much light.`,
  },
  schemes: {
    '4.9': [
      { marks: 1, point: 'Darkness means that the arrows close to a polygon: their sum is zero.' },
      {
        marks: 1,
        point:
          'Three arrows close at 1/3 and 2/3 of a turn, four at 1/4, 1/2 and 3/4: two and three dark lines.',
      },
      {
        marks: 1,
        point:
          'In the centre amplitudes add up, so the intensity grows as N², while the light that comes through grows as N.',
      },
      {
        marks: 1,
        point:
          'Settles it with the narrower lines (about 1/N, with their number of 4.6) and the dark space between them.',
      },
    ],
  },
  instructor: `# Three and four slits: for the instructor

## Purpose
The student counts dark lines and weak maxima, explains them by arrows that close to polygons, writes one function for any number of slits, and sees with it that more slits make narrower and brighter lines. This prepares the grating of sheet 5.

## Answers for the sample student
${sampleAnswers(sheet, sealed)}

## Usual troubles
- 4.1: dark lines and weak maxima are mixed up; on the strip the weak maxima are easier to count.
- 4.2: the dark line of two slits, λ/2d, in the place of λ/4d. Let them draw four arrows on paper.
- 4.4: 0/0 in the centre. At the other bright lines the formula is 0/0 as well, but no computed s hits them exactly; the check does not ask there.
- 4.5: “1/N²” is right for three slits only.
- 4.7: a blocked slit makes the dark line bright. The polygon lacks one side, so the sum is as long as that side.
- 4.9: intensities are added in the place of amplitudes.

## Time
70 minutes at home or in class; 20 more with the demonstration.

## Apparatus for the real demonstration
A 12 V, 50 W filament lamp behind a condenser, which lights a source slit (0.1 mm) in the focus of a collimator; slides with two, three and four slits of one spacing, and a card that covers one slit; a camera or a telescope focused for infinity; a green filter. Change the slides while the class watches one bright line.

## Safety
Use the lamp or daylight from an overcast sky. Direct sunlight and lasers only as your local rules allow and with the consent of the responsible safety officer; nobody looks along the beam or through a lens or telescope at the source. Lamp housings get hot.
`,
});
