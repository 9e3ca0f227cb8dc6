import { type Draw, fitCurve, formatQuantity, mm, nm, sincPi, um } from 'multislit';

/** What each student gets; lengths in m. */
export interface Given {
  /** Width a of each slit, m. */
  width: number;
  /** Spacing d from centre to centre, m. */
  spacing: number;
  /** Wavelength λ that the green filter passes, m. */
  wavelength: number;
  /** Focal length f of the camera lens, m. */
  focalLength: number;
  /** The order whose direction is asked for. */
  order: number;
  /** The order that another pair is to leave out. */
  missing: number;
  /** Full width of the band of wavelengths that a second filter passes, m. */
  passband: number;
  /** Brightness along the film behind a pair without a label. */
  profile: Profile;
}

export interface Profile {
  /** Places on the film, m. */
  positions: number[];
  /** What the camera counted at each place. */
  counts: number[];
  /** Standard uncertainty of each count. */
  noise: number;
}

/** Spacing over width, well away from whole numbers, so that no fringe lies on the edge of a band. */
const ratios = [2.2, 2.25, 2.3, 2.7, 2.75, 2.8, 3.2, 3.25, 3.3, 3.7, 3.75, 3.8];

export function givens(draw: Draw): Given {
  const width = draw.between('width', um(30), um(50), um(1));
  const wavelength = draw.between('wavelength', nm(510), nm(555), nm(5));
  const focalLength = draw.between('focal length', mm(300), mm(600), mm(10));
  return {
    width,
    spacing: toTheNearest(draw.choice('ratio', ratios) * width, um(0.5)),
    wavelength,
    focalLength,
    order: draw.between('order', 3, 5, 1),
    missing: draw.between('missing', 3, 5, 1),
    passband: draw.between('passband', nm(20), nm(60), nm(2)),
    profile: recorded(draw, focalLength, wavelength),
  };
}

/** What `begin` tells the student. */
export function tells(given: Given): string[] {
  const inUnit = (value: number, unit: string) => formatQuantity(value, unit, 6);
  const { positions } = given.profile;
  return [
    `Width of each slit: a = ${inUnit(given.width, 'um')} (given.width)`,
    `Spacing from centre to centre: d = ${inUnit(given.spacing, 'um')} (given.spacing)`,
    `Wavelength behind the green filter: λ = ${inUnit(given.wavelength, 'nm')} (given.wavelength)`,
    `Focal length of the camera lens: f = ${inUnit(given.focalLength, 'mm')} (given.focalLength)`,
    `For 3.1: order m = ${given.order} (given.order)`,
    `For 3.4: the first missing order, ${given.missing} (given.missing)`,
    `For 3.6: a filter that passes ${inUnit(given.passband, 'nm')} around the same wavelength (given.passband)`,
    `For 3.7: brightness behind the unlabelled pair at ${positions.length} positions (given.profile.positions, m; given.profile.counts; each count with the standard uncertainty given.profile.noise = ${given.profile.noise})`,
  ];
}

/** What the camera gave behind a pair that the student does not know. */
function recorded(draw: Draw, focalLength: number, wavelength: number): Profile {
  const width = draw.between('unlabelled width', um(30), um(50), um(0.5));
  const spacing = draw.choice('unlabelled ratio', ratios) * width;
  const centre = draw.between('centre', mm(-0.4), mm(0.4), mm(0.01));
  const count = 241;
  const reach = (1.3 * focalLength * wavelength) / width;
  const noise = 25;
  const errors = draw.normals('noise', count);
  const positions = errors.map((_, i) => toTheNearest(reach * ((2 * i) / (count - 1) - 1), um(1)));
  const counts = positions.map((x, i) => {
    const s = Math.sin(Math.atan((x - centre) / focalLength));
    const light = 120 + 3000 * pattern(s / wavelength, spacing, width);
    return Math.max(0, Math.round(light + noise * errors[i]));
  });
  return { positions, counts, noise };
}

function toTheNearest(value: number, step: number): number {
  return Number((Math.round(value / step) * step).toPrecision(9));
}

/** Two equal slits, relative to the centre; `q` is s/λ, 1/m. */
export function pattern(q: number, spacing: number, width: number): number {
  return Math.cos(Math.PI * spacing * q) ** 2 * sincPi(width * q) ** 2;
}

const known = new WeakMap<Profile, readonly [number, number]>();

/** Spacing and width of the unlabelled pair by least squares; the small angles allow s = x/f to 3 parts in 10 000. */
export function fittedPair(given: Given): readonly [number, number] {
  const before = known.get(given.profile);
  if (before) return before;
  const { positions: x, counts: y, noise: u } = given.profile;
  const scale = given.focalLength * given.wavelength;
  const { parameters } = fitCurve(
    (at, [centre, height, background, spacing, width]) =>
      background + height * pattern((at - centre) / scale, spacing, width),
    { x, y, u },
    start(x, y, scale),
  );
  const pair = [parameters[3].value, parameters[4].value] as const;
  known.set(given.profile, pair);
  return pair;
}

/** Where the fit begins: the record ends at 1.3 times the first dark line of one slit; the spacing is the best of a few. */
function start(x: number[], y: number[], scale: number): number[] {
  const sum = (term: (i: number) => number) => x.reduce((total, _, i) => total + term(i), 0);
  const centre = sum((i) => x[i] * y[i]) / sum((i) => y[i]);
  const width = (1.3 * scale) / x[x.length - 1];
  const tries = ratios.map((ratio) => [centre, 3000, 120, ratio * width, width]);
  const misfits = tries.map(([, height, background, spacing]) =>
    sum(
      (i) => (y[i] - background - height * pattern((x[i] - centre) / scale, spacing, width)) ** 2,
    ),
  );
  return tries[misfits.indexOf(Math.min(...misfits))];
}
