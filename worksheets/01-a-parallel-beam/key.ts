import { defineKey, type OpenQuestion } from 'multislit';
import { sampleAnswers } from '../sample-answers';
import { distanceFor, type Given } from './given';
import sheet from './sheet';

const sealed: Record<string, OpenQuestion<Given>> = {
  '1.7': {
    id: '1.7',
    kind: 'number',
    asks: 'Where the far field begins',
    marks: 3,
    unit: 'mm',
    expected: (given) => distanceFor(given, given.reached),
    tolerance: { relative: 0.01 },
    slips: [
      {
        name: 'Fresnel number 1',
        value: ({ slitWidth, wavelength }) => slitWidth ** 2 / (4 * wavelength),
        hint: 'At this distance the Fresnel number is 1. The far field is not reached there yet.',
      },
      {
        name: 'amplitude for irradiance',
        value: (given) => distanceFor(given, given.reached ** 2),
        hint: 'Here the amplitude has come up to that share. Its square, the irradiance, is asked for.',
      },
      {
        name: 'root of the share',
        value: (given) => distanceFor(given, Math.sqrt(given.reached)),
        hint: 'Too far: the root of the share was taken. nearField gives irradiances already.',
      },
      {
        name: 'half width for width',
        value: (given) => distanceFor(given, given.reached) / 4,
        hint: 'A quarter of what is needed: the slit seems to have been taken with half of its width.',
      },
      {
        name: 'metres',
        value: (given) => distanceFor(given, given.reached) / 1000,
        hint: 'This is the number of metres; millimetres are asked for.',
      },
    ],
  },
};

export default defineKey<Given>({
  sheet,
  sealed,
  carried: {
    '1.2': { follows: '1.1', value: ({ focalLength }, [image]) => image / focalLength, marks: 1 },
  },
  model: {
    '1-1-work': `// Both lenses see the slit and its image under the same angle.
const imageWidth = (given.sourceWidth * given.focalLength) / given.collimatorFocalLength / um(1);`,
    '1-2-work': `const sourceAngle = given.sourceWidth / given.collimatorFocalLength / arcseconds(1);`,
    '1-3-work': `const c = given.beamWidth / 2;
const sag = given.wavelength / given.parts;
const bareDistance = c ** 2 / (2 * sag);   // m`,
    '1-4-work': `const vanishingWidth = (given.wavelength * given.collimatorFocalLength) / given.spacing / um(1);`,
    '1-5-work': `function contrast(b: number): number {
  const v = (Math.PI * b * given.spacing) / (given.wavelength * given.collimatorFocalLength);
  return Math.abs(Math.sin(v) / v);
}`,
    '1-6-work': `const w = given.slitWidth / 2;
const distances = given.fresnelNumbers.map((each: number) => w ** 2 / (given.wavelength * each));   // m
show(nearToFar(slits(1, { width: given.slitWidth }), given.wavelength, distances, { span: mm(4) }));
const screens = distances.map((z: number) => z / mm(1));`,
    '1-7-work': `const slit = slits(1, { width: given.slitWidth });
const near = (z: number) => nearField(slit, given.wavelength, z, [0])[0];
const far = (z: number) => given.slitWidth ** 2 / (given.wavelength * z);
const farDistance = findRoot((z) => near(z) / far(z) - given.reached, 0.05, 5) / mm(1);`,
    '1-8-work': `show(linePlot({ x: given.sourceWidths, y: given.contrasts, uy: given.contrastUncertainty }, contrastAxes));

function model(b: number, [d]: readonly number[]): number {
  const v = (Math.PI * b * d) / (given.wavelength * given.collimatorFocalLength);
  return Math.abs(Math.sin(v) / v);
}

// The width with the least contrast gives a rough spacing.
const least = given.contrasts.indexOf(Math.min(...given.contrasts));
const rough = [(given.wavelength * given.collimatorFocalLength) / given.sourceWidths[least]];
const readings = { x: given.sourceWidths, y: given.contrasts, u: given.contrastUncertainty };
const fit = fitCurve(model, readings, rough);
const unlabelledSpacing = fit.parameters[0].value / um(1);`,
    '1-9-written': `(a) Behind the bare lamp the wavefront is round. One metre away its edges lag behind its middle by $D^2/8L$, which for a beam of 3 mm is about 1.1 µm, two wavelengths of green. The outer slits get their light too late, so there is no direction in which all sixteen help each other. Seen from the lamp the row is 3 mrad wide, and each line is smeared over that much; from line to line it is only $\\lambda/d$, 2.7 mrad. So the lines run into one another, and nothing on the film is brighter than an eighth of what a line should be. It helps to move the lamp away until the lag is a small part of a wavelength (1.3: many metres), or to put it into the focus of a lens: the collimator makes the wavefront flat within its focal length. (A camera refocused on the lamp would help as well.)

(b) The film gets more light, in proportion to the width, but each strip of the source slit makes a pattern of its own, shifted by its angle. The contrast sinks; at $b=\\lambda f_1/d$ (1.4) it is gone, and beyond that it comes back a little, with bright and dark exchanged. At that width the image of the source slit is $bf/f_1=\\lambda f/d$ wide: exactly one fringe. A good compromise is a quarter of it: the contrast is still 0.9.`,
  },
  schemes: {
    '1.9': [
      {
        marks: 1,
        point:
          'The wavefront of a near source is round: its edges lag by D²/8L, with a number (about two wavelengths for 3 mm at 1 m; or: the row is seen 3 mrad wide, more than the 2.7 mrad from line to line).',
      },
      {
        marks: 1,
        point:
          'Names a cure: a larger distance as in 1.3, or the source in the focus of a collimator, which makes the wavefront flat.',
      },
      {
        marks: 1,
        point:
          'More light, but patterns of different parts of the source slit are shifted and add up, so the contrast sinks (1.5).',
      },
      {
        marks: 1,
        point:
          'The fringes are gone at b = λf₁/d; the image of the source slit is then as wide as one fringe, λf/d.',
      },
    ],
  },
  instructor: `# A parallel beam: for the instructor

## Purpose
The student learns what stands behind the words “a parallel beam”: a source that is narrow enough (its angle, its image, the contrast of fringes) and far enough, or a lens (the sag of the wavefront, the Fresnel number, the near field fading into the far field). All later sheets rest on it. It also teaches safety with sunlight first.

## Answers for the sample student
${sampleAnswers(sheet, sealed)}

## Usual troubles
- 1.1: the two focal lengths exchanged.
- 1.2: minutes and seconds of arc. For comparison: the disc of the sun is about 1900 seconds of arc wide, so that sunlight without a slit is no parallel beam.
- 1.3: half the beam width, or the whole. Let students draw the circle and its chord.
- 1.4: the fringe spacing on the film, λf/d, for the width of the source slit, λf₁/d. The two belong together: at this width the image of the source slit is as wide as a fringe.
- 1.5: the contrast of a wide slit turns negative without Math.abs; the fringes are there again, bright and dark exchanged.
- 1.6: w is half of the width. Some books define the Fresnel number with the whole width; theirs is four times as large.
- 1.7: only few percent are missing at a Fresnel number of 0.2. The camera lens brings this far field from many metres into its focus.
- 1.8: reading the first zero alone gives the spacing to a few percent; the fit uses all readings. The same method measures the separation of double stars.
- 1.9: the object matters. A pair in the middle of the beam gets the same lag at both slits and loses nothing (contrast 0.998 one metre away, for slits of 0.15 mm, 0.45 mm apart); a row of slits does, since the outer ones lag behind the inner ones. Students can see it: what the camera records one metre from a bare lamp is \`nearField(slits(16, { width: um(50), spacing: um(200) }), nm(532), 1, x)\`, the pattern of a parallel beam on a screen one metre behind the row, x being the direction in metres per metre.

## Time
50 minutes at home or in class; 20 more with the demonstration.

## Apparatus for the real demonstration
A 12 V, 50 W tungsten-halogen filament lamp behind a condenser, a green filter, an adjustable source slit with a scale, a collimator lens of about 0.4 m, a pair of slits about 0.4 mm apart, a camera or telescope focused for infinity. Open the source slit slowly and let the class call when the fringes are gone. Without a collimator: the same source slit as far away as the long room allows; 1.3 says how flat the wavefront is then.

## Safety
Sunlight behind a lens or from a mirror burns skin, sets fire, and destroys sight at once and without pain; a collimator and a telescope are such lenses. Use the lamp or daylight from an overcast sky. Direct sunlight and lasers only as your local rules allow and with the consent of the responsible safety officer: beam path enclosed and below eye level, shutter closed while anything is changed, mirror and lenses covered when nobody watches them, nobody looks along the beam or into the telescope. Lamp housings get hot.
`,
});
