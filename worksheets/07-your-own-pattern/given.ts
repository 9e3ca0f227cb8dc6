import {
  type Draw,
  encodePicture,
  fitLine,
  formatQuantity,
  m,
  mm,
  nm,
  seeded,
  slitPicture,
  srgbFromLinear,
  um,
} from 'multislit';
import { byAnotherHand, drawScene, rulerGivens, type SecondSlide } from './second-slide';
import { type Scene, snapshot, snapshotSize } from './snapshot';

/** What each student gets; lengths in m. */
export interface Given extends SecondSlide {
  /** Wavelength λ of the laser by its label, m. */
  wavelength: number;
  /** Standard uncertainty of the wavelength, m. */
  wavelengthUncertainty: number;
  /** Distance L from the slits to the screen, m. */
  distance: number;
  /** Standard uncertainty of the distance, m. */
  distanceUncertainty: number;
  /** Spacing of the slits by the slide's label, m. */
  label: number;
  /** Where the centimetre marks of a ruler on the screen lie in the picture, pixels from its left edge. */
  marks: number[];
  /** Standard uncertainty of each mark, pixels. */
  markUncertainty: number;
  /** Exposure times of six photographs of a grey card, s. */
  greyTimes: number[];
  /** Code of the card in each of them, 0 to 255, the mean of many pixels. */
  greyCodes: number[];
  /** Share of the light that the lens of the camera loses at the corners of the picture, a part of 1. */
  vignetting: number;
  /** A computed photograph of the pattern on the screen: a PNG file. Made when it is first asked for. */
  readonly photograph: Uint8Array;
}

/** What stood on the bench; lengths in m. */
export interface Bench {
  count: number;
  width: number;
  spacing: number;
  /** On the screen, per pixel of the picture. */
  pixel: number;
  /** Signal of the middle with clear fringes, in full scales of the camera. */
  exposure: number;
  /** The second slide, as it was photographed with care. */
  second: Scene;
}

/** Pixels. */
export const picture = { width: 320, height: 16 };
/** All of its rows. */
export const rows = { from: 0, to: picture.height };
/** Background in full scales; full well and read noise in electrons. */
export const camera = { background: 0.015, visibility: 0.96, fullWell: 6000, readNoise: 12 };

const benches = new WeakMap<Given, Bench>();

/** The bench is not among the givens: the student is to find it out. */
export function benchOf(given: Given): Bench {
  const known = benches.get(given);
  if (known) return known;
  throw new TypeError(
    'What stood on the bench is known only for givens that this sheet has drawn.',
  );
}

/** Givens with the bench that belongs to them. */
export function onBench(given: Given, bench: Bench): Given {
  benches.set(given, bench);
  return given;
}

const ratios = [2.6, 2.7, 2.8, 3.2, 3.3, 3.4];

export function givens(draw: Draw): Given {
  const width = draw.between('width', um(38), um(50), um(0.5));
  const spacing = draw.choice('ratio', ratios) * width;
  const count = draw.between('count', 3, 5, 1);
  const wavelength = draw.between('wavelength', nm(635), nm(665), nm(5));
  const distance = draw.between('distance', m(1.8), m(2.4), m(0.01));
  // The picture reaches to about 1.35 times the first dark line of one slit on either side.
  const reach = (1.35 * wavelength * distance) / width;
  const pixel = ((2 * reach) / picture.width) * draw.between('zoom', 0.97, 1.03, 0.001);
  const exposure = draw.between('exposure', 1.25, 1.4, 0.01);
  const first = { count, width, spacing, pixel, exposure };
  const vignetting = draw.between('vignetting', 0.2, 0.3, 0.01);
  const seed = draw.seed('photograph');
  const drawn = JSON.stringify([seed, first, wavelength, distance, vignetting]);
  const photograph = remembered(drawn, () =>
    encodePicture(
      slitPicture(seeded(seed), {
        ...{ ...first, ...camera, ...picture, slitWidth: width },
        ...{ wavelength, focalLength: distance, vignetting, colour: [1, 0.08, 0.03] },
      }),
    ),
  );
  // Later than the rest: whoever has begun the sheet keeps all of the above.
  const second = drawScene(draw, { wavelength, distance });
  const taken = (name: string, scene: Scene) => {
    const by = draw.seed(name);
    return remembered(JSON.stringify([by, scene]), () => snapshot(by, scene));
  };
  const withCare = taken('second photograph', second);
  const byOther = taken('other photograph', byAnotherHand(draw, second));
  const given: Given = {
    wavelength,
    wavelengthUncertainty: nm(3),
    distance,
    distanceUncertainty: mm(4),
    label: Number((Math.round(spacing / um(10)) * um(10)).toPrecision(9)),
    marks: marks(draw, pixel),
    markUncertainty: 0.5,
    ...greyCard(draw),
    vignetting,
    get photograph() {
      return photograph();
    },
    ...rulerGivens(draw, second),
    get snapshot() {
      return withCare();
    },
    get otherSnapshot() {
      return byOther();
    },
  };
  return onBench(given, { ...first, second });
}

/** The latest photographs: as many as a student has. */
const latest = new Map<string, Uint8Array>();
const most = 3;

/** A photograph is asked for several times in a row, of givens drawn anew each time. Copies: a cell may change its own. */
function remembered(drawn: string, make: () => Uint8Array): () => Uint8Array {
  let own: Uint8Array | undefined;
  return () => {
    if (own) return own;
    const made = latest.get(drawn) ?? make();
    latest.delete(drawn);
    latest.set(drawn, made);
    for (const oldest of [...latest.keys()].slice(0, -most)) latest.delete(oldest);
    own = made.slice();
    return own;
  };
}

/** Marks 0, 1, 2 … cm of a ruler, as many as the picture holds. */
function marks(draw: Draw, pixel: number): number[] {
  const perMark = mm(10) / pixel;
  const first = draw.between('first mark', 8, 30, 0.5);
  const count = Math.floor((picture.width - 4 - first) / perMark) + 1;
  const errors = draw.normals('marks', count);
  return errors.map((error, i) => Math.round(2 * (first + i * perMark + 0.45 * error)) / 2);
}

/** The same camera on an evenly lit card: the last photograph nearly full, each one before it half as long. */
function greyCard(draw: Draw): Pick<Given, 'greyTimes' | 'greyCodes'> {
  const fullest = draw.between('grey card', 0.75, 0.9, 0.01);
  const errors = draw.normals('grey codes', 6);
  const greyTimes = errors.map((_, i) => 0.002 * 2 ** i);
  const greyCodes = errors.map((error, i) => {
    const light = (fullest / 2 ** (5 - i)) * (1 + 0.01 * error);
    return Math.round(10 * 255 * srgbFromLinear(light)) / 10;
  });
  return { greyTimes, greyCodes };
}

/** Length on the screen that one pixel shows, from the marks, with its standard uncertainty. */
export function fittedPixel({ marks, markUncertainty }: Given): { value: number; u: number } {
  const { slope } = fitLine({ x: marks.map((_, i) => i), y: marks, u: markUncertainty });
  const value = mm(10) / slope.value;
  return { value, u: (value * slope.u) / slope.value };
}

/** What `begin` tells the student. */
export function tells(given: Given): string[] {
  const inUnit = (value: number, unit: string) => formatQuantity(value, unit, 6);
  return [
    `Wavelength by the laser's label: λ = ${inUnit(given.wavelength, 'nm')} (given.wavelength), standard uncertainty ${inUnit(given.wavelengthUncertainty, 'nm')} (given.wavelengthUncertainty)`,
    `Distance from the slits to the screen: L = ${inUnit(given.distance, 'm')} (given.distance), standard uncertainty ${inUnit(given.distanceUncertainty, 'mm')} (given.distanceUncertainty)`,
    `By the label of the slide its slits are about ${inUnit(given.label, 'um')} apart (given.label)`,
    `For 7.3: in the picture the ruler's marks 0, 1, 2 … cm lie at ${given.marks.map((mark) => mark.toFixed(1)).join(', ')} pixels (given.marks), each with the standard uncertainty ${given.markUncertainty} (given.markUncertainty)`,
    `For 7.4: exposure times of a grey card ${given.greyTimes.map((time) => inUnit(time, 'ms')).join(', ')} (given.greyTimes), its codes ${given.greyCodes.map((code) => code.toFixed(1)).join(', ')} (given.greyCodes)`,
    `The lens of the camera loses ${inUnit(given.vignetting, '%')} of the light at the corners of the picture (given.vignetting)`,
    `A computed photograph of the pattern, ${picture.width} pixels wide (given.photograph)`,
    `For 7.10 and 7.11: two computed photographs of a second slide as rough as real ones, ${snapshotSize.width} pixels wide (given.snapshot, given.otherSnapshot); two marks of the ruler in both are seen at ${given.snapshotMarks.map(({ x, y }) => `(${x.toFixed(1)}, ${y.toFixed(1)})`).join(' and ')} pixels (given.snapshotMarks), each clicked with the standard uncertainty ${given.snapshotClick} (given.snapshotClick), and are ${inUnit(given.snapshotRuler, 'cm')} apart (given.snapshotRuler)`,
  ];
}
