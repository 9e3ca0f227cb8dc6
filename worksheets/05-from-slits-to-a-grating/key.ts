import { defineKey, type OpenQuestion } from 'multislit';
import { sampleAnswers } from '../sample-answers';
import type { Given } from './given';
import sheet from './sheet';

/** Swing of the lines that makes ghosts of this strength. */
const swing = ({ ghostStrength, ghostOrder, lines }: Given) =>
  Math.sqrt(ghostStrength) / (Math.PI * ghostOrder * lines);

const sealed: Record<string, OpenQuestion<Given>> = {
  '5.6': {
    id: '5.6',
    kind: 'number',
    asks: 'The error behind the ghosts',
    marks: 3,
    unit: 'nm',
    expected: swing,
    tolerance: { relative: 0.015 },
    slips: [
      {
        name: 'root left out',
        value: (given) => Math.sqrt(given.ghostStrength) * swing(given),
        hint: 'The strength of a ghost grows with the square of the error. Take a square root.',
      },
      {
        name: 'percent',
        value: (given) => 10 * swing(given),
        hint: 'The percent seem to have been used as a plain number. One percent is 0.01.',
      },
      {
        name: 'order left out',
        value: (given) => given.ghostOrder * swing(given),
        hint: 'The order is missing: the same error makes stronger ghosts in higher orders.',
      },
      {
        name: 'π left out',
        value: (given) => Math.PI * swing(given),
        hint: 'About three times too much: π is missing.',
      },
      {
        name: 'full swing',
        value: (given) => 2 * swing(given),
        hint: 'This is the whole way from one side to the other. A is counted from the middle.',
      },
      {
        name: 'micrometres',
        value: (given) => swing(given) / 1000,
        hint: 'This looks like micrometres; nanometres are asked for.',
      },
    ],
  },
};

export default defineKey<Given>({
  sheet,
  sealed,
  model: {
    '5-1-work': `const theta = Math.asin(given.wavelength / (given.count * given.spacing));
const firstDark = (given.focalLength * Math.tan(theta)) / mm(1);`,
    '5-2-work': `const lag = Math.sin(given.angle) / given.lines;   // m, from line to line
const together: number[] = [];
for (let order = 1; order <= 10; order++) {
  const wavelength = lag / order / nm(1);
  if (wavelength >= 400 && wavelength <= 700) together.push(wavelength);
}`,
    '5-3-work': `const needed = 589.294 / (589.592 - 588.995) / given.order;   // lines
const litWidth = needed / given.lines / mm(1);`,
    '5-4-work': `function kept(wavelength: number, count: number): number {
  const alpha = (Math.PI * given.red) / wavelength;
  if (Math.abs(Math.sin(alpha)) < 1e-9) return 1;   // all slits in step
  return (Math.sin(count * alpha) / (count * Math.sin(alpha))) ** 2;
}`,
    '5-5-work': `const purities = given.slides.map((count: number) => purity((wavelength) => kept(wavelength, count)));
console.log(given.slides.map((count: number) => colourName(colour((wavelength) => kept(wavelength, count)), white)));`,
    '5-6-work': `const lineSpacing = 1 / given.lines;
const swing = (lineSpacing * Math.sqrt(given.ghostStrength)) / (Math.PI * given.ghostOrder) / nm(1);`,
    '5-7-work': `const inverse = given.counts.map((count: number) => 1 / count);
const line = fitLine({ x: inverse, y: given.centreWidths, u: given.readingUncertainty });
show(linePlot({ x: inverse, y: given.centreWidths }, widthAxes));
const unlabelled = (2 * given.focalLength * given.wavelength) / line.slope.value / um(1);`,
    '5-8-work': `show(darkLinePlot);
const direction = Math.atan(given.darkLine / given.focalLength);
const darkWavelength = Math.sin(direction) / given.lines / nm(1);
const table: [number, string][] = [
  [396.8, 'calcium'], [486.1, 'hydrogen'], [517.3, 'magnesium'], [527.0, 'iron'], [587.6, 'helium'],
  [589.3, 'sodium'], [656.3, 'hydrogen'], [686.7, 'oxygen'],
];
const element = table.find(([wavelength]) => Math.abs(wavelength - darkWavelength) < 0.5)?.[1];`,
    '5-9-written': `(a) A dark line is missing light in a narrow range of wavelengths. With few slits the maximum of every wavelength is broad, so its neighbours shine into the gap and fill it. The half-width of a maximum falls as $1/N$; in wavelengths it is $\\lambda/mN$. With 25 lines that is about 24 nm in the first order, with 400 lines about 1.5 nm, so only then the lines of about 1 nm show.

(b) Both see it equally well: $\\lambda/\\Delta\\lambda=mN$. Mira has $m=2$ and $N$ lines, Tom has $m=1$ and $2N$ lines in the same width. Both even look in the same direction, since $\\sin\\theta=m\\lambda/d$ is the same. In Mira’s second order, though, the third order of violet light lies on top of the red, because only a range of $\\lambda/2$ is free; she needs a filter. Tom’s first order is free of others over a range as large as $\\lambda$ itself, the whole visible spectrum, but his grating has finer lines and is harder to rule. In 5.3 about 1000 lines are needed in the first order, half as many in the second.`,
  },
  schemes: {
    '5.9': [
      {
        marks: 1,
        point:
          'A dark line is a narrow gap; with few slits the broad maxima of neighbouring wavelengths fill it.',
      },
      {
        marks: 1,
        point:
          'The width of a maximum falls as 1/N, with a number: λ/mN, such as 24 nm for 25 lines, or widths from 5.1 or 5.7.',
      },
      {
        marks: 1,
        point:
          'Says that both resolve equally well, because mN is the same, and refers to 5.3 or another number of their own.',
      },
      {
        marks: 1,
        point:
          'Says what speaks for each: the second order is overlapped by the third (5.2; a range of λ/2 is free), the first is free but needs a finer grating.',
      },
    ],
  },
  instructor: `# From slits to a grating: for the instructor

## Purpose
The student follows what more slits do: each maximum becomes narrow as 1/N, so that colours become pure, close lines part and dark lines of sunlight appear. The price is told, too: orders overlap, and an error of a few nanometres in the ruling makes ghosts.

## Answers for the sample student
${sampleAnswers(sheet, sealed)}

## Usual troubles
- 5.1: the distance to the next order, or the whole width, for the half-width. The vector polygon of sheet 4 helps: it closes for the first time when each arrow turns by 1/N of a full turn.
- 5.2: one wavelength only. Nothing but a filter or a prism tells the orders apart.
- 5.3: the order is forgotten, or the number of lines is handed in. Expected is λ/Δλ = mN with the mean of the pair. A sum over all lines of one's own, in which the dark line beside 588.995 nm falls on the maximum of 589.592 nm, gives N = 588.995 nm/(m · 0.597 nm): less by half of 0.597 nm in 589.294 nm, which is 5 · 10⁻⁴. The tolerance of 1 % takes both.
- 5.4: sin Nα/(N sin α) is 0/0 where all slits are in step; the line with the limit stands in the cell.
- 5.5: with three to five slits the red is an amber or an orange, since its broad maximum lets yellow and green through; from seven to ten on it begins to be a red. White is the lamp itself, as an eye sees it that has grown used to it. The purity counts only what the eye sees; 0.99 is no longer told from 1.
- 5.6: percent; the square root. The formula holds for an error that is a sine; with z = 2πmA/d the ghosts are exactly (J₁(z)/J₀(z))² (Bessel functions), so that the formula is good to 0.5 % of A here. An error of another shape has ghosts of other strengths.
- 5.7: width against N is a hyperbola. Let students draw both plots. The numbers of slits are drawn, five for each student, far apart in 1/N; the readings then tell the spacing to about 0.5 %.
- 5.8: x/f is the tangent, not the sine: taken for the sine it gives 1 to 2.5 % too much, and no line of the table fits.
- The dark line of oxygen is made in our own air. It grows when the sun is low.

## Time
60 minutes at home or in class; 25 more with the demonstration.

## Apparatus for the real demonstration
A filament lamp (12 V, 50 W) behind a condenser that lights a narrow source slit; a collimator with the slit in its focus; slides with 1, 2, 3, 5, 8 and 16 slits of one width and spacing; a telescope or a camera focused for infinity; a green filter. A grating of about 300 lines per millimetre with an adjustable stop before it, and a sodium lamp: open the stop slowly and let the class call when the yellow line parts. Daylight from an overcast sky, led to the source slit, shows the dark lines; the lamp has none.

## Safety
Use daylight from an overcast sky, never the sun itself in a lens, mirror or telescope; direct sunlight and lasers only as your local rules allow and with the consent of the responsible safety officer. Nobody looks along the beam. The filament lamp, its housing and the condenser get hot enough to burn skin and paper; let them cool before you touch them. Spectral lamps run on mains voltage, and mercury lamps give ultraviolet light: leave the glass on.
`,
});
