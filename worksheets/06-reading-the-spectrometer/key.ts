import { defineKey, type OpenQuestion } from 'multislit';
import { sampleAnswers } from '../sample-answers';
import { angleOf, foundLines, type Given } from './given';
import sheet from './sheet';

/** What angle and spacing add to the uncertainty of the longest of the three wavelengths. */
const longest = (given: Given) => foundLines(given)[2];
function share(given: Given): number {
  const { byAngle, bySpacing } = longest(given);
  return byAngle ** 2 / (byAngle ** 2 + bySpacing ** 2);
}

const sealed: Record<string, OpenQuestion<Given>> = {
  '6.7': {
    id: '6.7',
    kind: 'number',
    asks: 'What limits the result',
    marks: 3,
    unit: '%',
    expected: share,
    tolerance: { absolute: 0.02 },
    slips: [
      {
        name: 'not squared',
        value: (given) => Math.sqrt(share(given)),
        hint: 'This compares the uncertainties themselves. Squares add up, so a share is one of squares.',
      },
      {
        name: 'plain sum',
        value: (given) => {
          const { byAngle, bySpacing } = longest(given);
          return byAngle / (byAngle + bySpacing);
        },
        hint: 'The two parts were added as they are. Their squares add up.',
      },
      {
        name: 'share of the spacing',
        value: (given) => 1 - share(given),
        hint: 'This is the share of the spacing. The angle’s is asked for.',
      },
      {
        name: 'ratio of the squares',
        value: (given) => (longest(given).byAngle / longest(given).bySpacing) ** 2,
        hint: 'This compares the angle’s part with the spacing’s, not with both together.',
      },
      {
        name: 'fraction',
        value: (given) => share(given) / 100,
        hint: 'This looks like a fraction of 1; the question asks for percent.',
      },
    ],
  },
};

export default defineKey<Given>({
  sheet,
  sealed,
  carried: {
    '6.5': {
      follows: '6.4',
      value: (given, [spacing]) =>
        given.unknown.map((setting) => (spacing * Math.sin(angleOf(setting))) / setting.order),
      marks: 2,
    },
  },
  model: {
    '6-1-work': `function lineAngle(order: number, wavelength: number): number {
  return Math.asin((order * wavelength) / given.label);
}

console.log([1, 2].map((order) => writeAngle(lineAngle(order, nm(546.1)), 'arcminute')));`,
    '6-2-work': `show(vernierFigure(given.vernier));

// Read from the figure: the last line of the circle before the zero, and the line of the vernier that meets one.
const scale = Math.round(given.vernier / arcminutes(1));
const onTheCircle = Math.floor(scale / 30) / 2;   // degrees
const reading = onTheCircle + (scale % 30) / 60;`,
    '6-3-work': `const { left, right } = given.green;

// The second vernier counts 180° more; the mean of both is free from the eccentricity.
const turn = 2 * Math.PI;
const leftDirection = (left.first + ((left.second + turn / 2) % turn)) / 2;
const rightDirection = (right.first + ((right.second + turn / 2) % turn)) / 2;

// From right to left the circle passes its zero.
const greenAngle = (leftDirection + turn - rightDirection) / 2 / degrees(1);`,
    '6-4-work': `const theta = given.known.map(({ left, right }) => halfAngle(left, right));
const thetaU = given.directionUncertainty / Math.sqrt(2);   // of each θ, rad

const data = {
  x: given.known.map(({ order, wavelength }) => order * wavelength),
  y: theta.map((each) => Math.sin(each)),
  u: theta.map((each) => Math.cos(each) * thetaU),
};
const fit = fitCurve((x, [d]) => x / d, data, [given.label]);
const [d] = fit.parameters;
show(fitPlot(data, (x) => x / d.value, { ...axes, fit }));

const spacing = measured(d.value / nm(1), d.u / nm(1));
console.log('spacing:', String(spacing), 'nm; reduced chi squared:', fit.reducedChiSquare.toFixed(2));`,
    '6-5-work': `function wavelengthOf(line: { order: number; left: number; right: number }) {
  const theta = measured(halfAngle(line.left, line.right), thetaU);
  return theta.sin().times(spacing).over(line.order);
}

const wavelengths = given.unknown.map(wavelengthOf);
console.log(wavelengths.map(String).join(', '), 'nm');
console.log(String(expanded(wavelengths[2])), 'nm');`,
    '6-6-work': `// The row of the table that is near all three.
const rows = {
  cadmium: [479.99, 508.58, 643.85],
  helium: [447.15, 587.56, 667.82],
  hydrogen: [434.05, 486.14, 656.28],
};
const isNear = (row: number[]) => row.every((line, i) => Math.abs(line - wavelengths[i].value) < 1);
const lampName = Object.entries(rows).filter(([, row]) => isNear(row)).map(([name]) => name).join(' or ');`,
    '6-7-work': `const [, , last] = given.unknown;
const lastAngle = halfAngle(last.left, last.right);
const fromAngle = (spacing.value * Math.cos(lastAngle) * thetaU) / last.order;   // nm
const fromSpacing = (Math.sin(lastAngle) * spacing.u) / last.order;   // nm
const angleShare = (100 * fromAngle ** 2) / (fromAngle ** 2 + fromSpacing ** 2);`,
    '6-8-work': `const step = (2 * nm(546.075)) / given.label;
const onTheLeft = Math.asin(Math.sin(given.tilt) + step);
const onTheRight = Math.asin(Math.sin(given.tilt) - step);
const half = (onTheLeft - onTheRight) / 2;   // the straight direction drops out
const foundTilted = (given.label * Math.sin(half)) / 2 / nm(1);`,
    '6-9-written': `(a) The zero of the circle adds the same to the reading on the left and on the right, so it drops out of their difference. An eccentric circle moves the two verniers by the same amount in opposite ways, so it drops out of their mean. A tilted grating turns left and right by different amounts: the sines shift by the same, the angles do not, and half of the difference comes out too large, in 6.8 by several nanometres. No averaging removes that; the grating has to be set at right angles to the beam.

(b) In 6.7 the angles make more than half of the variance, the spacing the rest, and the spacing's uncertainty comes from angles, too. So better angles help both: setting each line several times, a circle that can be read more finely, higher orders. With $k=1.96$ my longest wavelength has $U$ of about 0.12 nm at 95 %.

(c) In air the wave is slower and therefore shorter, by $n=1.000\\,28$; the frequency stays what the atom sends out. A grating compares path differences with the wavelength where it stands, so it measures the wavelength, in air. In vacuum the lines are 0.12 to 0.18 nm longer: two to three times my standard uncertainty of about 0.06 nm, and about as much as $U$ or more. So the table has to be the one for air, as it was for the mercury lines that gave $d$. (Had both tables been for vacuum, $d$ would come out too large by the same factor and nothing would be wrong; mixing them is.)`,
  },
  schemes: {
    '6.9': [
      {
        marks: 1,
        point:
          'Zero drops out of left minus right; eccentricity drops out of the mean of two opposite verniers; a reason for each.',
      },
      {
        marks: 1,
        point:
          'A tilted grating is not removed by left and right; refers to the size found in 6.8 or to setting the grating square.',
      },
      {
        marks: 1,
        point:
          'Uses 6.7: the angle makes the larger share; names two sound improvements (repeats, finer circle, higher order, more known lines); states U = 1.96 u or the like.',
      },
      {
        marks: 1,
        point:
          'Says that air changes the wavelength and not the frequency, and that a grating measures the wavelength; compares 0.12 to 0.18 nm with their own uncertainty: air and vacuum must be kept apart.',
      },
    ],
  },
  instructor: `# Reading the spectrometer: for the instructor

## Purpose
The student reads a vernier, frees an angle from the zero and the eccentricity of the circle, finds the spacing of a grating by a weighted fit to known lines, measures three wavelengths with their uncertainty, names the lamp, and learns what limits the result and what averaging cannot remove.

## Answers for the sample student
${sampleAnswers(sheet, sealed)}

## Usual troubles
- Look: cadmium and hydrogen show four lines between 14° and 25°. Mercury shows five: 404.7 nm is faint (a sixth, 407.8 nm, hardly seen), and the yellow is two, 577.0 and 579.1 nm, 4.6′ apart in the first order. Some 275 lines of the grating have to be lit to tell them apart there.
- 6.1: degrees; the sine handed in for the angle.
- 6.2: the half-degree line overlooked; the circle read where the lines meet. \`vernierFigure(given.vernier, { magnify: 12 })\` shows the neighbourhood of line 12 large.
- 6.3: the circle passes 0° between right and left. Students who work in degrees on paper see it at once.
- 6.4: the uncertainty of θ is that of one direction divided by √2. A student who uses 24″ is told that the uncertainty is too large: the check allows a factor of 1.2, in 6.5 as well. Weights matter little here; that they are right shows in a reduced χ² near 1 (0.2 to 2.2 is usual with 7 degrees of freedom).
- 6.5: \`spacing\` handed in without uncertainty.
- 6.7: the uncertainties are given, not found from repeats, so \`expanded\` takes k from the normal distribution, 1.96.
- 6.6: a lamp named by one line only. The lines of the table are those of data/lamp_lines.csv; data/SOURCES.md says where they come from.
- 6.8: the division by cos θi, which holds near the straight direction only.
- The readings have a scatter of 20″ for each setting and are read to 1′ on each vernier; 24″ for the mean of both follows from that.

## Time
75 minutes at home or in class; 45 more with a real instrument.

## Apparatus for the real demonstration
A spectrometer with a divided circle and two verniers; a transmission grating with about 600 lines per millimetre in its holder; a mercury lamp and a second lamp (cadmium, helium or hydrogen) with closed housings and a slit; a dim reading lamp and a magnifier. Set the telescope for infinity, the collimator by it, and the grating square to the beam by its reflection.

## Safety
Mercury lamps give ultraviolet light: leave the glass envelope and the housing closed, keep eyes and skin out of the beam, never run a lamp with a cracked envelope. A broken lamp sets mercury vapour free: leave the room, air it, and follow your local rules for clearing up. Lamps and housings get hot; let them cool before touching. Discharge tubes run from mains or from several kilovolts: only on the supply made for them, switched off and unplugged before a tube is changed. Nobody points the telescope at the sun or at a laser. Your local rules and the responsible safety officer decide.
`,
});
