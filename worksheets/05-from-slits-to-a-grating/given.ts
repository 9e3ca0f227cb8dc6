import { type Draw, fitLine, formatQuantity, lamp, mm, nm, um } from 'multislit';

/** What each student gets; lengths in m, angles in rad. */
export interface Given {
  /** Width a of each slit of the slides, m. */
  width: number;
  /** Spacing d of these from centre to centre, m. */
  spacing: number;
  /** How many slits the slide of the first question has. */
  count: number;
  /** Numbers of slits of the four slides whose colours are compared, the fewest first. */
  slides: number[];
  /** Wavelength λ that the green filter passes, m. */
  wavelength: number;
  /** Focal length f of the camera lens, m. */
  focalLength: number;
  /** Lines of the grating per metre, 1/m. */
  lines: number;
  /** Direction in which the telescope stands behind the grating, rad. */
  angle: number;
  /** The order in which the sodium pair is to be resolved. */
  order: number;
  /** Wavelength of the red whose place in the first order is looked at, m. */
  red: number;
  /** Order of a strong line that has ghosts. */
  ghostOrder: number;
  /** How strong these are, relative to the line. */
  ghostStrength: number;
  /** Numbers of slits of the unlabelled slides. */
  counts: number[];
  /** How wide the central maximum of each was from dark to dark, m. */
  centreWidths: number[];
  /** Standard uncertainty of each width, m. */
  readingUncertainty: number;
  /** Where a dark line of sunlight lies on the film, from the centre, m. */
  darkLine: number;
}

/** Dark lines of sunlight that the table of solar power shows, and what takes their light. */
const darkLines = [
  { element: 'hydrogen', wavelength: nm(486.1) },
  { element: 'magnesium', wavelength: nm(517.3) },
  { element: 'sodium', wavelength: nm(589.3) },
  { element: 'hydrogen', wavelength: nm(656.3) },
  { element: 'oxygen', wavelength: nm(686.7) },
];

export function givens(draw: Draw): Given {
  const spacing = draw.between('spacing', um(60), um(100), um(1));
  const wavelength = draw.between('wavelength', nm(510), nm(555), nm(5));
  const focalLength = draw.between('focal length', mm(400), mm(600), mm(10));
  const lines = draw.between('lines', 300e3, 340e3, 10e3);
  const lag = draw.between('lag', nm(2480), nm(2720), nm(10));
  const slides = eachBetween(draw, 'slide', [3, 5], [7, 10], [14, 18]);
  // Five that lie well apart in 1/N, so that the line through the readings is a sure one.
  const counts = eachBetween(draw, 'unlabelled', [3, 4], [5, 7], [9, 12], [14, 18], [21, 26]);
  const readingUncertainty = mm(0.005);
  const dark = draw.choice('dark line', darkLines).wavelength;
  return {
    width: toTheNearest(spacing / draw.between('ratio', 2.4, 3.4, 0.1), um(0.5)),
    spacing,
    count: draw.between('count', 8, 15, 1),
    slides: [...slides, draw.between('slide 4', 50, 100, 10)],
    wavelength,
    focalLength,
    lines,
    angle: toTheNearest((Math.asin(lag * lines) * 180) / Math.PI, 0.1) * (Math.PI / 180),
    order: draw.between('order', 2, 3, 1),
    red: draw.between('red', nm(630), nm(660), nm(5)),
    ghostOrder: draw.between('ghost order', 4, 5, 1),
    ghostStrength: draw.between('ghost strength', 0.002, 0.01, 0.0002),
    counts,
    centreWidths: centreWidths(draw, counts, focalLength * wavelength, readingUncertainty),
    readingUncertainty,
    darkLine: toTheNearest(onFilm(dark, lines, focalLength), mm(0.01)),
  };
}

/** A whole number from each of these ranges. */
function eachBetween(draw: Draw, name: string, ...ranges: [number, number][]): number[] {
  return ranges.map(([from, to], i) => draw.between(`${name} ${i + 1}`, from, to, 1));
}

/** What `begin` tells the student. */
export function tells(given: Given): string[] {
  const inUnit = (value: number, unit: string) => formatQuantity(value, unit, 6);
  const widths = given.counts.map(
    (count, i) => `${count} slits ${(given.centreWidths[i] / mm(1)).toFixed(3)} mm`,
  );
  return [
    `Slides: slits a = ${inUnit(given.width, 'um')} wide (given.width), d = ${inUnit(given.spacing, 'um')} apart (given.spacing)`,
    `Wavelength behind the green filter: λ = ${inUnit(given.wavelength, 'nm')} (given.wavelength)`,
    `Focal length of the camera lens: f = ${inUnit(given.focalLength, 'mm')} (given.focalLength)`,
    `Grating: ${given.lines / 1000} lines per millimetre (given.lines, per metre)`,
    `For 5.1: a slide with ${given.count} slits (given.count)`,
    `For 5.2: telescope at ${inUnit(given.angle, 'deg')} from the axis (given.angle)`,
    `For 5.3: order ${given.order} (given.order)`,
    `For the strips and 5.5: slides with ${given.slides.join(', ')} slits (given.slides)`,
    `For 5.4 and 5.5: the red of ${inUnit(given.red, 'nm')} (given.red)`,
    `For 5.6: ghosts in order ${given.ghostOrder} (given.ghostOrder), each ${inUnit(given.ghostStrength, '%')} as strong as the line (given.ghostStrength)`,
    `For 5.7: central maxima of unlabelled slides, from dark line to dark line (given.counts, given.centreWidths; each width with the standard uncertainty given.readingUncertainty = ${inUnit(given.readingUncertainty, 'um')}): ${widths.join('; ')}`,
    `For 5.8: a dark line at x = ${inUnit(given.darkLine, 'mm')} (given.darkLine)`,
  ];
}

/** Widths of central maxima, 2fλ/Nd and a reading error each, to a thousandth of a millimetre. */
function centreWidths(draw: Draw, counts: number[], scale: number, uncertainty: number): number[] {
  const spacing = draw.between('unlabelled spacing', um(60), um(100), um(0.5));
  const errors = draw.normals('readings', counts.length);
  return counts.map((count, i) =>
    toTheNearest((2 * scale) / (count * spacing) + uncertainty * errors[i], mm(0.001)),
  );
}

function toTheNearest(value: number, step: number): number {
  return Number((Math.round(value / step) * step).toPrecision(9));
}

/** Where the first order of a wavelength meets the film. */
function onFilm(wavelength: number, lines: number, focalLength: number): number {
  return focalLength * Math.tan(Math.asin(wavelength * lines));
}

/** What takes the light of the dark line. */
export function element({ darkLine, focalLength, lines }: Given): string {
  const wavelength = Math.sin(Math.atan(darkLine / focalLength)) / lines;
  return darkLines.reduce((best, each) =>
    Math.abs(each.wavelength - wavelength) < Math.abs(best.wavelength - wavelength) ? each : best,
  ).element;
}

/** Slits needed to tell the two sodium lines apart in order m: λ/Δλ = mN. */
export function slitsForSodium(order: number): number {
  const [a, b] = lamp('sodium').lines!.map((line) => line.wavelength);
  return (a + b) / 2 / Math.abs(a - b) / order;
}

/** Spacing of the unlabelled slides, from the line of widths against 1/N or against what is told. */
export function fittedSpacing(given: Given, against = (count: number) => 1 / count): number {
  const { slope } = fitLine({ x: given.counts.map(against), y: given.centreWidths });
  return (2 * given.focalLength * given.wavelength) / slope.value;
}
