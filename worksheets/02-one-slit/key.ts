import { defineKey, integrate, type OpenQuestion, sincPi, um } from 'multislit';
import { sampleAnswers } from '../sample-answers';
import { fittedWidth, type Given } from './given';
import sheet from './sheet';

/** Edge of the opening, as u = a s / λ. */
function edge({ opening, focalLength, width, wavelength }: Given): number {
  return (width / wavelength) * Math.sin(Math.atan(opening / 2 / focalLength));
}
/** Share of the light with |a s / λ| below u; the area under sinc² from −∞ to ∞ is 1. */
const share = (u: number) => 2 * integrate((v) => sincPi(v) ** 2, 0, u);

/** Relative standard uncertainties of the unlabelled width: readings, focal length, wavelength. */
function parts(given: Given, width = fittedWidth(given)): [number, number, number] {
  const { orders, readingUncertainty, focalLength, wavelength } = given;
  const step = (focalLength * wavelength) / width;
  const spread = Math.sqrt(orders.reduce((sum, m) => sum + m * m, 0));
  return [
    readingUncertainty / spread / step,
    given.focalLengthUncertainty / focalLength,
    given.wavelengthUncertainty / wavelength,
  ];
}

const sealed: Record<string, OpenQuestion<Given>> = {
  '2.5': {
    id: '2.5',
    kind: 'number',
    asks: 'Light through the opening',
    marks: 3,
    unit: '%',
    expected: (given) => share(edge(given)),
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'one side',
        value: (given) => share(edge(given)) / 2,
        hint: 'This is the light on one side of the centre only; the opening lets both sides through.',
      },
      {
        name: 'opening taken as half-width',
        value: (given) => share(2 * edge(given)),
        hint: 'The opening is as wide as given from edge to edge; its edges lie half of that from the centre.',
      },
      {
        name: 'even brightness',
        value: (given) => edge(given),
        hint: 'This is the width of the opening relative to the central band, as if the band were evenly bright.',
      },
      {
        name: 'not squared',
        value: (given) => 2 * integrate(sincPi, 0, edge(given)),
        hint: 'Amplitudes were added up here; light is carried by their squares.',
      },
      {
        name: 'height at the edge',
        value: (given) => sincPi(edge(given)) ** 2,
        hint: 'This is the intensity at the edge of the opening, not the light that passes within it.',
      },
      {
        name: 'fraction',
        value: (given) => share(edge(given)) / 100,
        hint: 'This looks like a fraction of 1; the question asks for percent.',
      },
    ],
  },
  '2.8': {
    id: '2.8',
    kind: 'number',
    asks: 'Uncertainty of the width',
    marks: 2,
    unit: 'um',
    expected: (given) => fittedWidth(given) * Math.hypot(...parts(given)),
    tolerance: { relative: 0.1 },
    digits: 2,
    slips: [
      {
        name: 'plain sum',
        value: (given) => fittedWidth(given) * parts(given).reduce((a, b) => a + b),
        hint: 'Independent uncertainties were added as they are. Their squares add up.',
      },
      {
        name: 'readings only',
        value: (given) => fittedWidth(given) * parts(given)[0],
        hint: 'Only the readings were taken into account; focal length and wavelength are uncertain, too.',
      },
      {
        name: 'wavelength left out',
        value: (given) => fittedWidth(given) * Math.hypot(parts(given)[0], parts(given)[1]),
        hint: 'The uncertainty of the wavelength is missing.',
      },
      {
        name: 'relative',
        value: (given) => um(Math.hypot(...parts(given))),
        hint: 'This is the relative uncertainty; the question asks for micrometres.',
      },
      {
        name: 'doubled',
        value: (given) => 2 * fittedWidth(given) * Math.hypot(...parts(given)),
        hint: 'This is twice the standard uncertainty.',
      },
    ],
  },
};

export default defineKey<Given>({
  sheet,
  sealed,
  carried: {
    '2.2': {
      follows: '2.1',
      value: ({ focalLength }, [angle]) => 2 * focalLength * Math.tan(angle),
      marks: 1,
    },
    '2.8': {
      follows: '2.7',
      value: (given, [width]) => width * Math.hypot(...parts(given, width)),
      marks: 2,
    },
  },
  model: {
    '2-1-work': `const theta = Math.asin(given.wavelength / given.width);   // rad
const firstDarkLine = theta / degrees(1);`,
    '2-2-work': `const bandWidth = (2 * given.focalLength * Math.tan(theta)) / mm(1);`,
    '2-3-work': `function intensity(s: number): number {
  const beta = (Math.PI * given.width * s) / given.wavelength;
  if (beta === 0) return 1;
  return (Math.sin(beta) / beta) ** 2;
}

show(patternPlot({ s: directions, intensity: directions.map(intensity) }));`,
    '2-4-work': `// The slope of (sin β / β)² is zero where tan β = β, that is where sin β − β cos β = 0.
const slope = (beta: number) => Math.sin(beta) - beta * Math.cos(beta);
const beta1 = findRoot(slope, 1.2 * Math.PI, 1.5 * Math.PI);
const beta2 = findRoot(slope, 2.2 * Math.PI, 2.5 * Math.PI);

// From β = π a s / λ back to the direction.
const direction = (beta: number) => Math.asin((beta * given.wavelength) / (Math.PI * given.width));
const sideMaxima = [direction(beta1) / mrad(1), direction(beta2) / mrad(1)];`,
    '2-5-work': `const edgeOfOpening = Math.sin(Math.atan(given.opening / 2 / given.focalLength));   // as s
const through = 2 * integrate(intensity, 0, edgeOfOpening);
const all = given.wavelength / given.width;
const shareThrough = (100 * through) / all;`,
    '2-6-work': `const myGuess = 'purple';

// In this direction a s = given.cancelled, whatever the width of the slit.
function kept(wavelength: number): number {
  const beta = (Math.PI * given.cancelled) / wavelength;
  return (Math.sin(beta) / beta) ** 2;
}
const colourThere = daylightColour(kept);   // [x, y]
console.log(colourName(colourThere));`,
    '2-7-work': `const line = fitLine({ x: given.orders, y: given.readings, u: given.readingUncertainty });
const step = line.slope.value;   // m, from one dark line to the next
const unlabelledWidth = (given.focalLength * given.wavelength) / step / um(1);`,
    '2-8-work': `const stepMeasured = measured(line.slope.value, line.slope.u);
const f = measured(given.focalLength, given.focalLengthUncertainty);
const lambda = measured(given.wavelength, given.wavelengthUncertainty);
const widthMeasured = f.times(lambda).over(stepMeasured);
const widthUncertainty = widthMeasured.u / um(1);`,
    '2-9-written': `(a) The first dark line lies where $a\\sin\\theta=\\lambda$, so $\\sin\\theta=\\lambda/a$: a smaller $a$ gives a larger angle. With half the width my central band on the film is twice as wide as in 2.2.

(b) In that direction only the green of one wavelength cancels completely. For red $a s/\\lambda$ is less than 1, for blue it is more than 1, so both are weakened but not gone. What is left is red and blue together: purple. My numbers in 2.6 agree: $y$ is far below that of daylight (0.33), the eye misses green. The light is weak there, between 1/120 and 1/190 of the centre, depending on the green; but it is not dark.`,
  },
  schemes: {
    '2.9': [
      {
        marks: 1,
        point:
          'Says that a narrower slit makes a wider band, by sin θ = λ/a or by the lag between the edges.',
      },
      {
        marks: 1,
        point: 'Supports it with numbers of their own: half the width, twice the band of 2.2.',
      },
      {
        marks: 1,
        point:
          'Says that in one direction only one wavelength cancels; red and blue remain and make purple.',
      },
      {
        marks: 1,
        half: true,
        point:
          'Uses x, y of 2.6: y much lower than daylight’s, so green is lacking; or states how weak the light is there (from 1/120 of the centre for 530 nm to 1/190 for 555 nm).',
      },
    ],
  },
  instructor: `# One slit: for the instructor

## Purpose
The student sees that one slit spreads light, finds the dark lines by the lag between the edges, turns an angle into a length on the film, writes the pattern as a function, and uses that function: side maxima, light within an opening, colour, and finally a slit width from readings with its uncertainty.

## Answers for the sample student
${sampleAnswers(sheet, sealed)}

## Usual troubles
- 2.1, 2.2: radians and degrees; one side taken for the whole band.
- 2.3: the value at s = 0 (0/0 gives NaN); amplitude in place of intensity; π forgotten.
- 2.4: half-way between dark lines is an approximation: 4.9 % off for the first maximum, 1.7 % for the second.
- 2.5: the whole area is λ/a, not 1, when the integral runs over s.
- 2.6: the eye expects darkness or green. One wavelength is gone, the others are not. At the first dark line of green the light, as the eye weighs it, is 1/120 (530 nm) to 1/190 (555 nm) of the centre, so the strip on the screen is shown brighter than the film would be.
- 2.7: there is no dark line of order 0. Students who number the lines 1 to 8 find a slit 16 % too narrow.
- 2.8: the readings hardly matter; wavelength and focal length limit the result. A student who takes the scatter of the residuals for the uncertainty of a reading also gets full marks.

## Time
60 minutes at home or in class; 20 more with the demonstration.

## Apparatus for the real demonstration
A 12 V, 50 W filament lamp behind a condenser, which lights a source slit (0.1 mm) in the focus of a collimator; an adjustable slit; a camera or a telescope focused for infinity; green and red filters. Close the slit slowly while the class watches the band grow.

## Safety
Use the lamp or daylight from an overcast sky. Direct sunlight and lasers only as your local rules allow and with the consent of the responsible safety officer; nobody looks along the beam or through a lens or telescope at the source. Lamp housings get hot.
`,
});
