import { defineKey, type OpenQuestion, um } from 'multislit';
import { sampleAnswers } from '../sample-answers';
import { benchOf, fittedPixel, type Given } from './given';
import { isOtherTrusted } from './second-slide';
import sheet from './sheet';

/** Relative standard uncertainties: wavelength, distance, scale. That of the fit is about 1/50 of the first. */
function parts(given: Given): [number, number, number] {
  const pixel = fittedPixel(given);
  return [
    given.wavelengthUncertainty / given.wavelength,
    given.distanceUncertainty / given.distance,
    pixel.u / pixel.value,
  ];
}
const spacing = (given: Given) => benchOf(given).spacing;

const sealed: Record<string, OpenQuestion<Given>> = {
  '7.8': {
    id: '7.8',
    kind: 'number',
    asks: 'How sure is the spacing',
    marks: 3,
    unit: 'um',
    expected: (given) => spacing(given) * Math.hypot(...parts(given)),
    tolerance: { relative: 0.07 },
    digits: 2,
    slips: [
      {
        name: 'plain sum',
        value: (given) => spacing(given) * parts(given).reduce((a, b) => a + b),
        hint: 'Independent uncertainties were added as they are. Their squares add up.',
      },
      {
        name: 'wavelength left out',
        value: (given) => spacing(given) * Math.hypot(parts(given)[1], parts(given)[2]),
        hint: 'The uncertainty of the wavelength is missing.',
      },
      {
        name: 'scale only',
        value: (given) => spacing(given) * parts(given)[2],
        hint: 'Only the scale of the picture was taken into account; wavelength and distance are uncertain, too.',
      },
      {
        name: 'relative',
        value: (given) => um(Math.hypot(...parts(given))),
        hint: 'This is the relative uncertainty; the question asks for micrometres.',
      },
      {
        name: 'doubled',
        value: (given) => 2 * spacing(given) * Math.hypot(...parts(given)),
        hint: 'This is twice the standard uncertainty.',
      },
    ],
  },
};

sealed['7.11'] = {
  id: '7.11',
  kind: 'word',
  asks: 'May the other photograph be trusted',
  marks: 2,
  accepts: (given) => [isOtherTrusted(given) ? 'yes' : 'no'],
  slips: [
    {
      name: 'undecided',
      words: ['maybe', 'perhaps', 'partly'],
      hint: 'Either it is good enough to report a width from, or it is not. The fit opens with a sentence that decides.',
    },
  ],
};

export default defineKey<Given>({
  sheet,
  sealed,
  carried: {
    '7.8': {
      follows: '7.6',
      value: (given, [found]) => found * Math.hypot(...parts(given)),
      marks: 3,
    },
  },
  model: {
    '7-1-work': `const toNextLine = (given.distance * Math.tan(Math.asin(given.wavelength / given.label))) / mm(1);`,
    '7-2-work': `const w = (4 * given.label + given.label / 3) / 2;   // four spacings and one slit, halved
const fresnel = w ** 2 / (given.wavelength * given.distance);`,
    '7-3-work': `const ruler = fitLine({ x: given.marks.map((_, i) => i), y: given.marks, u: given.markUncertainty });
const perCentimetre = measured(ruler.slope.value, ruler.slope.u);   // pixels
const pixel = measured(10000, 0).over(perCentimetre);   // micrometres
console.log('one pixel shows', String(pixel), 'µm of the screen');`,
    '7-4-work': `function linear(code: number): number {
  const c = code / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}

const greyLight = given.greyCodes.map((code: number) => linear(code));
console.log('light per second:', greyLight.map((each: number, i: number) => (each / given.greyTimes[i]).toFixed(1)));
show(linePlot([
  { name: 'light', x: given.greyTimes, y: greyLight },
  { name: 'code / 255', x: given.greyTimes, y: given.greyCodes.map((code: number) => code / 255) },
], { x: { quantity: 'exposure time', unit: 's' }, y: { quantity: 'light, and code', unit: '1' } }));`,
    '7-5-work': `const profile = pictureProfile(given.photograph, { ...howToRead, pixel: um(pixel.value) });
show(linePlot({ x: profile.x, y: profile.y, as: 'line' }, logAxes));

// Counted on the curve; here the computer tries three numbers and keeps the one that fits best.
const tries = [3, 4, 5].map((count) =>
  fitSlits(profile, { ...bench, count, start: { spacing: given.label } }));
const best = tries.reduce((a, b) => (b.chiSquare < a.chiSquare ? b : a));
const slitCount = best.count;`,
    '7-6-work': `const fit = best;
show(fitPlot(profile, fittedCurve(fit, bench), { ...axes, fit }));
const spacingAndWidth = [fit.spacing.value / um(1), fit.width.value / um(1)];`,
    '7-7-work': `const asCodes = pictureProfile(given.photograph, { ...howToRead, pixel: um(pixel.value), curve: 'linear' });
const wrongFit = fitSlits(asCodes, { ...bench, count: slitCount, light: 'even', start: { spacing: given.label } });
show(fitPlot(asCodes, fittedCurve(wrongFit, bench), { ...axes, fit: wrongFit }));
const tooSmall = 100 * (1 - wrongFit.width.value / fit.width.value);`,
    '7-8-work': `const parts = [
  given.wavelengthUncertainty / given.wavelength,
  given.distanceUncertainty / given.distance,
  pixel.u / pixel.value,
  fit.spacing.u / fit.spacing.value,
];
const spacingUncertainty = (Math.hypot(...parts) * fit.spacing.value) / um(1);`,
    '7-9-work': `// The computed photograph serves, since there is no picture of my own.
console.log('reduced chi squared:', fit.reducedChiSquare.toFixed(2), 'and without the curve', wrongFit.reducedChiSquare.toFixed(0));
console.log('saturated positions:', profile.saturated.filter(Boolean).length, 'of', profile.x.length);`,
    '7-10-work': `const fromRuler = rulerScale(given.snapshotMarks[0], given.snapshotMarks[1], given.snapshotRuler, { click: given.snapshotClick });
const row = pictureProfile(given.snapshot, { scale: fromRuler, channel: 'red', band: 'find' });
const rowFit = fitSlits(row, bench);
show(fitPlot(row, fittedCurve(rowFit, bench), { ...axes, fit: rowFit }));
console.log(String(rowFit));
const secondSlide = [rowFit.spacing.value / um(1), rowFit.width.value / um(1)];`,
    '7-11-work': `let trusted = 'no';   // where the fit refuses altogether, it stays so
try {
  const otherRow = pictureProfile(given.otherSnapshot, { scale: fromRuler, channel: 'red', band: 'find' });
  const otherFit = fitSlits(otherRow, bench);
  show(fitPlot(otherRow, fittedCurve(otherFit, bench), { ...axes, fit: otherFit }));
  console.log(String(otherFit));
  if (otherFit.trusted) trusted = 'yes';
} catch (error) {
  console.log(String(error));
}`,
    '7-9-written': `(a) The spacing comes from the places of the bright lines. A curve that turns light into codes moves no place: what is brightest stays brightest. The width comes from heights: how fast the lines fade toward the sides. The curve lifts weak light more than strong light, so the lines seem to fade more slowly, the pattern of one slit seems broader, and the slit narrower, in my case by more than a tenth.

(b) I had no picture of my own and used the computed photograph: a red laser, the slide, a white screen about 2 m away, a camera and a ruler on the screen. With a real laser I would take one of class 2 at most, let the beam end on the screen, keep it below eye level and take rings and mirrors away. The Fresnel number of the row is 0.1 or less (7.2), so the screen is far enough: the rim lags by a twentieth of a wavelength. Scale: from 7.3, one pixel with an uncertainty of about 0.2 %. The camera follows the standard curve: the grey card gave the same light per second, within its scatter, for exposures from 2 to 64 ms. A few positions in the middle are saturated and were left out. Result: spacing and width of 7.6; the spacing is uncertain by about half a percent, and the wavelength of the laser contributes most. It agrees with the label of the slide, which is rounded to 10 µm. The residuals scatter about zero with a reduced χ² near 1, so the model misses nothing that can be seen. If the light lost at the corners is not put back, they show waves, and the reduced χ² is several times larger.`,
  },
  schemes: {
    '7.9': [
      {
        marks: 1,
        point: '(a) The spacing comes from places, which a rising curve does not move.',
      },
      {
        marks: 1,
        point:
          '(a) The width comes from heights; weak light is lifted, so the envelope seems broader and the slit narrower.',
      },
      {
        marks: 1,
        point:
          '(b) Describes the set-up, with the distance judged by its Fresnel number, and says how it was kept safe.',
      },
      {
        marks: 1,
        point:
          '(b) States the scale and how it was found, how the camera’s curve was checked, and what was done about saturation.',
      },
      {
        marks: 1,
        point:
          '(b) States spacing (or width) with its uncertainty, and compares it with a label or a second measurement.',
      },
      {
        marks: 1,
        point:
          '(b) Judges the residuals and names something that the model leaves out or could leave out: light lost at the corners, unequal slits, stray light, a tilted screen, a source that is not far away.',
      },
    ],
  },
  instructor: `# Your own pattern: for the instructor

## Purpose
The student goes the whole way from a photograph to a result: scale, the camera's curve, saturation, profile, fit, residuals, uncertainty. Everybody takes it with a computed photograph, of which the answers are known; whoever has a picture or a table of their own goes it a second time and reports.

## Answers for the sample student
${sampleAnswers(sheet, sealed)}

## Usual troubles
- The photograph is computed, drawn from the student number, and the sheet says so. \`given\` does not hold what stood on the bench.
- 7.2: half of the row or the whole; one slit in the place of the row. The number comes out between 0.03 and 0.12. At 0.12 (five slits 0.17 mm apart, 1.8 m) the dark lines fill in to 1 % of the brightest light and a far-field fit finds the width 0.15 % too large, the spacing right to 0.02 %.
- 7.3: pixels per millimetre in the place of its inverse. The uncertainty follows from \`fitLine\`; two marks alone give about one and a half times as much, which still agrees.
- 7.4: a plain power of 2.2. The grey card shows that the camera keeps to the standard: light per second is the same to about 1 %, while code over time falls by a factor of six from the first exposure to the last.
- 7.5: counting with the bright lines included. With a wrong number the fit of 7.6 shows it at once: reduced χ² far above 1.
- 7.6: a pixel handed over as a plain number of micrometres; \`um(pixel.value)\` is meant.
- 7.7: the width comes out 10 to 18 % too small, while the spacing hardly changes. In this fit all places count about alike; one that weighs them by the scatter of the codes finds up to 4 % more or less, since no width fits a wrong model. A student who shows such a fit deserves the marks. Without the light of the corners put back (\`vignetting\` left out) the width changes by less than 1 %, but the residuals show waves: worth trying in class.
- 7.8: the fit's own uncertainty is the smallest part by far. It says how well the curve goes through the points, not how well the bench was measured.
- 7.10: the photograph is computed, too (\`snapshot.ts\` tells its physics), with what spoils real ones in small measure: a row of spots that leans, speckle, daylight, a ruler, a hand. The fit finds the row by itself. The scale from two marks 8 cm apart is uncertain by about 0.2 %. A result that is off by more than 3 % usually comes from a band that was given by hand and missed the row, or from \`curve: 'linear'\`.
- 7.11: for half of the students the other photograph is as good as the first; for the others it was exposed a hundred times as long, not held still, and brightened by the camera. Right is what the fit's own sentence says for that student; where it finds no pattern at all, that is a "no". Reading the sentence is the point: the fit returns numbers for a spoilt photograph, too.
- 7.9: files belong into the folder of the sheet. Pictures from telephones: switch off automatic enhancement, lock exposure and focus, keep the middle just below saturation; strong JPEG compression makes the uncertainty of the points too small, so the reduced χ² comes out above 1. A screen that is not square to the beam, unequal slits, or a lens that loses light at the corners show in the residuals.
- A fit that ends nowhere usually has the wrong axis, the wrong rows or a scale that is off by a factor of ten.

## Time
95 minutes at home or in class; 40 more for a picture of one's own.

## Apparatus for the real demonstration
A red laser of class 1 or 2 with its label; a slide with two to five slits of 0.03 to 0.06 mm; a matt white screen at 2 m with a ruler on it; a camera on a stand beside the beam, square to the screen; a tape measure; a dark room. Without a laser: a lamp behind a source slit and a colour filter, a camera focused for infinity; then \`focalLength\` is that of the lens.

## Safety
Laser light can destroy sight before one blinks. Class 1 or 2 only (at most 1 mW, visible), from a known maker, with its label; no pointers of unknown power. Nobody looks into the beam or its mirror image; rings, watches and mirrors are put away; the beam runs below eye level, points away from doors and people, and ends on a matt screen. The laser is fixed, and on only while measuring. The camera looks at the screen, never into the beam. Neither lens nor telescope is turned to the sun or to a laser. Children and people who cannot read the warning stay out of the room. Your local rules and the responsible safety officer decide what may be done at school and whether anything may be done at home.
`,
});
