import { type Draw, findRoot, formatQuantity, mm, nm, sincPi, um } from 'multislit';

/** What each student gets; lengths in m, angles in rad. */
export interface Given {
  /** Width a of each slit, m. */
  width: number;
  /** Spacing d from centre to centre, m. */
  spacing: number;
  /** Wavelength λ that the green filter passes, m. */
  wavelength: number;
  /** Focal length f of the camera lens, m. */
  focalLength: number;
  /** Phase between neighbouring slits for the arrows of 4.3, rad. */
  phase: number;
  /** How many slits there are in 4.1 and in 4.5 to 4.7. */
  count: number;
  /** Brightness along the film behind slits that nobody has counted. */
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

const ratios = [2.7, 2.8, 2.9, 3.1, 3.2, 3.3, 3.4];

export function givens(draw: Draw): Given {
  const width = draw.between('width', um(20), um(30), um(1));
  const spacing = toTheNearest(draw.choice('ratio', ratios) * width, um(0.5));
  const wavelength = draw.between('wavelength', nm(510), nm(555), nm(5));
  const focalLength = draw.between('focal length', mm(300), mm(600), mm(10));
  const optics = { width, spacing, wavelength, focalLength };
  return {
    ...optics,
    phase: (draw.between('phase', 40, 62, 1) / 180) * Math.PI,
    count: draw.between('count', 6, 9, 1),
    profile: recorded(draw, optics),
  };
}

type Optics = Pick<Given, 'width' | 'spacing' | 'wavelength' | 'focalLength'>;

/** What the camera gave behind a number of slits that the student does not know. */
function recorded(draw: Draw, optics: Optics): Profile {
  const slitCount = draw.between('uncounted', 3, 6, 1);
  const count = 301;
  const noise = 20;
  const errors = draw.normals('noise', count);
  const reach = (1.35 * optics.focalLength * optics.wavelength) / optics.spacing;
  const positions = errors.map((_, i) => toTheNearest(reach * ((2 * i) / (count - 1) - 1), um(1)));
  const counts = positions.map((x, i) =>
    Math.max(0, Math.round(light(optics, slitCount, x) + noise * errors[i])),
  );
  return { positions, counts, noise };
}

function toTheNearest(value: number, step: number): number {
  return Number((Math.round(value / step) * step).toPrecision(9));
}

/** Counts of the camera at x behind so many slits, without noise. */
function light({ width, spacing, wavelength, focalLength }: Optics, slitCount: number, x: number) {
  const q = Math.sin(Math.atan(x / focalLength)) / wavelength;
  return 100 + 3000 * comb(slitCount, Math.PI * spacing * q) ** 2 * sincPi(width * q) ** 2;
}

/** Sum of N equal arrows over N, each turned by 2α against the one before it: sin Nα / (N sin α). */
export function comb(slitCount: number, alpha: number): number {
  const sine = Math.sin(alpha);
  if (Math.abs(sine) < 1e-9) return Math.cos(slitCount * alpha) / Math.cos(alpha);
  return Math.sin(slitCount * alpha) / (slitCount * sine);
}

/** The number of slits whose pattern lies nearest to the record. */
export function countedSlits(given: Given): number {
  const { positions, counts } = given.profile;
  const candidates = [2, 3, 4, 5, 6, 7, 8];
  const misfits = candidates.map((slitCount) =>
    positions.reduce((sum, x, i) => sum + (counts[i] - light(given, slitCount, x)) ** 2, 0),
  );
  return candidates[misfits.indexOf(Math.min(...misfits))];
}

/** α of the m-th subsidiary maximum of N slits: between two zeros, where tan Nα = N tan α. */
export function subsidiary(slitCount: number, m: number): number {
  const slope = (alpha: number) =>
    slitCount * Math.cos(slitCount * alpha) * Math.sin(alpha) -
    Math.sin(slitCount * alpha) * Math.cos(alpha);
  return findRoot(slope, (m * Math.PI) / slitCount, ((m + 1) * Math.PI) / slitCount);
}

/** α at which the principal maximum of N slits has fallen to one half. */
export function halfway(slitCount: number): number {
  return findRoot((alpha) => comb(slitCount, alpha) ** 2 - 0.5, 0, Math.PI / slitCount);
}

/** What `begin` tells the student. */
export function tells(given: Given): string[] {
  const inUnit = (value: number, unit: string) => formatQuantity(value, unit, 6);
  const { positions, noise } = given.profile;
  return [
    `Width of each slit: a = ${inUnit(given.width, 'um')} (given.width)`,
    `Spacing from centre to centre: d = ${inUnit(given.spacing, 'um')} (given.spacing)`,
    `Wavelength behind the green filter: λ = ${inUnit(given.wavelength, 'nm')} (given.wavelength)`,
    `Focal length of the camera lens: f = ${inUnit(given.focalLength, 'mm')} (given.focalLength)`,
    `For 4.3: phase between neighbouring slits φ = ${inUnit(given.phase, 'deg')} (given.phase, in radians)`,
    `For 4.1 and 4.5 to 4.7: a slide with N = ${given.count} slits (given.count)`,
    `For 4.8: brightness behind an uncounted slide at ${positions.length} positions (given.profile.positions, m; given.profile.counts; each count with the standard uncertainty given.profile.noise = ${noise})`,
  ];
}
