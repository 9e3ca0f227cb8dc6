import type { Aperture } from '../aperture/aperture';
import { asComplex, soundAperture } from '../aperture/aperture';
import { intensityProfile } from '../aperture/intensity';
import { fresnelNumber } from '../aperture/near-field';
import type { Light, XYZ } from '../light/light';
import { paled } from '../light/srgb';
import { type Adaptation, adaptationFrom, isWhite } from '../light/white-balance';
import { xyz as lightXyz, spectralWeights } from '../light/xyz';
import { fresnelInto } from '../numerics/fresnel-integrals';
import { once } from '../numerics/once';
import {
  requireKnown,
  requireNotNegative,
  requireOneOf,
  requirePositive,
  requireWhole,
} from '../numerics/require';
import { formatNumber } from '../quantity/format-number';
import { develop } from './develop';
import type { FilmStrip } from './film';
import { isEven } from './white-pattern';

/** How a screen without a lens stands behind the aperture. Lengths in m. */
export interface ScreenStripOptions {
  /** Distance z from the aperture to the screen, m. */
  readonly distance: number;
  /** Distance z₀ of the source slit before the aperture, m; Infinity (a parallel beam) unless told. */
  readonly sourceDistance?: number;
  /** Length of the screen shown, m. Default: the shadow and one first minimum of green (550 nm) to each side. */
  readonly span?: number;
  /** Number of positions, 2…20 000. Default 1201. */
  readonly points?: number;
  /** Width of the source slit as an angle seen from the aperture, rad. Default 0. */
  readonly sourceAngle?: number;
  /** What the brightest place's strongest channel comes to, 1 being all that is shown. Default 1. */
  readonly exposure?: number;
  /** 'linear', or 'log' for four decades. Default 'linear'. */
  readonly scale?: 'linear' | 'log';
}

/** What a screen without a lens shows. X, Y, Z are relative to Y = 1 without the aperture. */
export interface ScreenStrip extends FilmStrip {
  /** Y of each position by the far-field formula, in the same unit as that of `xyz`. */
  readonly far: Float64Array;
  /** Fresnel number at 550 nm. */
  readonly fresnelNumber: number;
}

const known = ['distance', 'sourceDistance', 'span', 'points', 'sourceAngle', 'exposure', 'scale'];
const GREEN = 550e-9;

/**
 * What a screen shows at any distance behind an aperture, without a lens, in any light: shadow, near field, far field.
 *
 *   XYZ(x) = ∫ w(λ) (x̄, ȳ, z̄)(λ) E(x; λ)/E₀ dλ,  E/E₀ as `nearField` has it, averaged over the source slit's shadow
 *   far(x): the same with E/E₀ = |F(s)|²/(λL), the far-field formula, s = x/z
 *
 * @param aperture what stands in the beam
 * @param light such as illuminant('A')
 * @param options distance of screen and source, m; see ScreenStripOptions
 * @returns positions (m), XYZ relative to the light without aperture, sRGB against the brightest place, the far-field
 * formula's brightness beside it, the Fresnel number at 550 nm
 * @throws RangeError, TypeError for options out of range, an unsound aperture or an empty light
 * @see paraxial, as `nearField`; the spectrum is summed in bands, for many slits far off in fewer than their orders need
 * @example screenStrip(slits(1, { width: 1e-3 }), laser(550e-9), { distance: 0.1 }).fresnelNumber // 4.545454545454545
 */
export function screenStrip(
  aperture: Aperture,
  light: Light,
  options: ScreenStripOptions,
): ScreenStrip {
  const { slits } = soundAperture(aperture);
  const set = checked(aperture, options);
  const { distance, sourceDistance, points, span, sourceAngle, exposure, scale } = set;
  const positions = Float64Array.from(
    { length: points },
    (_, i) => ((2 * i - (points - 1)) / (2 * (points - 1))) * span,
  );
  const length = 1 / (1 / distance + 1 / sourceDistance);
  const magnification = 1 + distance / sourceDistance;
  const number = fresnelNumber(aperture, GREEN, distance, { sourceDistance });
  // The blur of a source slit takes in places beyond the ends.
  const step = span / (points - 1);
  const more = Math.ceil((sourceAngle * distance) / 2 / step);
  const wide = Float64Array.from({ length: points + 2 * more }, (_, i) => {
    return ((2 * (i - more) - (points - 1)) / (2 * (points - 1))) * span;
  });
  const bands = bandsOf(light, aperture, wide, length, magnification);
  const near = new Float64Array(3 * wide.length);
  const far = new Float64Array(wide.length);
  const mirrored = isEven(aperture);
  const half = mirrored ? wide.length >> 1 : 0;
  const total = slits.reduce(
    (sum, { width, transmission }) => {
      const { re, im } = asComplex(transmission);
      return { re: sum.re + width * re, im: sum.im + width * im };
    },
    { re: 0, im: 0 },
  );
  const power = total.re ** 2 + total.im ** 2;
  for (const { wavelength, X, Y, Z } of bands) {
    const rays = wide.subarray(half);
    const here = irradiance(aperture, wavelength, length, magnification, rays);
    const sines = rays.map((x) => x / distance);
    const formula = intensityProfile(aperture, wavelength, sines);
    for (let i = 0; i < rays.length; i++) {
      const at = i + half;
      near[3 * at] += X * here[i];
      near[3 * at + 1] += Y * here[i];
      near[3 * at + 2] += Z * here[i];
      far[at] += (Y * formula[i] * power) / (wavelength * length);
    }
  }
  if (mirrored) {
    for (let i = 0; i < half; i++) {
      const other = wide.length - 1 - i;
      far[i] = far[other];
      for (let c = 0; c < 3; c++) near[3 * i + c] = near[3 * other + c];
    }
  }
  const xyz = blurred(near, 3, points, more, (sourceAngle * distance) / step);
  const white = isWhite(light) ? adaptationFrom(lightXyz(light)) : undefined;
  const brightest = brightestOf(xyz, white);
  const shown = develop(xyz, brightest, { exposure, scale, decades: 4 }, white);
  return {
    positions,
    s: positions.map((x) => x / distance),
    xyz,
    ...shown,
    far: blurred(far, 1, points, more, (sourceAngle * distance) / step),
    fresnelNumber: number,
    get total() {
      return xyz.filter((_, i) => i % 3 === 1);
    },
    ...(light.caution && { caution: light.caution }),
    alt: `Screen ${formatNumber(distance, 3)} m behind ${slits.length === 1 ? 'one slit' : `${slits.length} slits`} in ${light.name}, ${formatNumber(span * 1e3, 3)} mm of it: Fresnel number ${formatNumber(number, 2)} at 550 nm, the brightest place ${formatNumber(brightest[1], 2)} times as bright as without slits.`,
  };
}

function checked(aperture: Aperture, given: ScreenStripOptions) {
  requireKnown('screenStrip', given, known);
  requirePositive('distance', given.distance, 'give metres, such as 0.5');
  const { slits } = aperture;
  const narrowest = Math.min(...slits.map(({ width }) => width));
  const edge = Math.max(...slits.map(({ centre, width }) => Math.abs(centre) + width / 2));
  const options = {
    sourceDistance: Number.POSITIVE_INFINITY,
    points: 1201,
    sourceAngle: 0,
    exposure: 1,
    scale: 'linear' as const,
    ...given,
  };
  if (options.sourceDistance !== Number.POSITIVE_INFINITY)
    requirePositive('sourceDistance', options.sourceDistance, 'give metres, or Infinity');
  const reach = edge * (1 + given.distance / options.sourceDistance);
  const span = given.span ?? 2 * (1.2 * reach + (GREEN * given.distance) / narrowest);
  requirePositive('span', span, 'give a length in metres');
  requireWhole('points', options.points, 2, 20_000);
  requireNotNegative('sourceAngle', options.sourceAngle, 'give an angle in radians, 0 for a line');
  requirePositive('exposure', options.exposure, 'give a factor such as 4');
  requireOneOf('scale', options.scale, ['linear', 'log']);
  return { ...options, span };
}

interface Band {
  readonly wavelength: number;
  readonly X: number;
  readonly Y: number;
  readonly Z: number;
}

/** At most so many edges of slits are looked at from all positions together. */
const MOST_EDGES = 1.2e6;

/** The light in bands narrow enough that fringes of neighbouring bands lie within a sixth of each other. */
function bandsOf(
  light: Light,
  aperture: Aperture,
  places: Float64Array,
  length: number,
  magnification: number,
): Band[] {
  const { wavelengths, weights } = spectralWeights(light);
  const Y0 = lightY(weights);
  const { slits } = aperture;
  const extent = Math.max(...slits.map(({ centre, width }) => Math.abs(centre) + width / 2));
  const farthest = places[places.length - 1] / magnification;
  // Wavelengths by which the paths from the outermost edge and from the middle differ, at the outermost place.
  const cycles = (extent * farthest + (extent * extent) / 2) / (GREEN * length);
  const wanted = 24 + 6 * cycles;
  const count = Math.round(
    Math.max(24, Math.min(wanted, 240, MOST_EDGES / (places.length * slits.length))),
  );
  const width = 330e-9 / count;
  const bands = new Map<number, { power: number; X: number; Y: number; Z: number; sum: number }>();
  const exact: Band[] = [];
  const isLines = !light.continuum;
  wavelengths.forEach((wavelength, i) => {
    const [X, Y, Z] = [0, 1, 2].map((c) => weights[3 * i + c] / Y0);
    if (isLines) {
      if (X + Y + Z > 0) exact.push({ wavelength, X, Y, Z });
      return;
    }
    const k = Math.floor((wavelength - 390e-9) / width);
    const band = bands.get(k) ?? { power: 0, X: 0, Y: 0, Z: 0, sum: 0 };
    const strength = X + Y + Z;
    bands.set(k, {
      power: band.power + strength,
      X: band.X + X,
      Y: band.Y + Y,
      Z: band.Z + Z,
      sum: band.sum + strength * wavelength,
    });
  });
  const all = [...bands.values()].filter(({ power }) => power > 0);
  const most = Math.max(0, ...all.map(({ power }) => power));
  return [
    ...exact,
    ...all
      .filter(({ power }) => power > 1e-4 * most)
      .map(({ X, Y, Z, sum, power }) => ({ wavelength: sum / power, X, Y, Z })),
  ];
}

function lightY(weights: Float64Array): number {
  let sum = 0;
  for (let i = 1; i < weights.length; i += 3) sum += weights[i];
  return sum;
}

/** E/E₀ at each place, by Fresnel's integrals at the slits' edges: `nearField` from a table, for a thousand wavelengths and places. */
function irradiance(
  { slits }: Aperture,
  wavelength: number,
  length: number,
  magnification: number,
  places: Float64Array,
): Float64Array {
  const out = new Float64Array(places.length);
  const scale = Math.sqrt(2 / (wavelength * length));
  const edges = slits.map(({ centre, width, transmission }) => ({
    left: (centre - width / 2) * scale,
    right: (centre + width / 2) * scale,
    ...asComplex(transmission),
  }));
  const [one, other] = [
    { c: 0, s: 0 },
    { c: 0, s: 0 },
  ];
  for (let i = 0; i < places.length; i++) {
    const ray = (places[i] / magnification) * scale;
    let [re, im] = [0, 0];
    for (const edge of edges) {
      spiral(one, edge.left - ray);
      spiral(other, edge.right - ray);
      const [c, s] = [other.c - one.c, other.s - one.s];
      re += edge.re * c - edge.im * s;
      im += edge.re * s + edge.im * c;
    }
    out[i] = (re * re + im * im) / 2;
  }
  return out;
}

/** Entries of the table to each unit of v, and where it ends. */
const FINE = 512;
const END = 12;

/** f and g of C = ½ + f sin − g cos, S = ½ − f cos − g sin (of πv²/2): they do not oscillate, so that straight lines between entries do. */
const auxiliary = once(() => {
  const f = new Float64Array(END * FINE + 2);
  const g = new Float64Array(END * FINE + 2);
  const at = { c: 0, s: 0 };
  for (let i = 0; i < f.length; i++) {
    const v = i / FINE;
    fresnelInto(at, v);
    const [sine, cosine] = [Math.sin((Math.PI / 2) * v * v), Math.cos((Math.PI / 2) * v * v)];
    f[i] = (at.c - 0.5) * sine - (at.s - 0.5) * cosine;
    g[i] = -(at.c - 0.5) * cosine - (at.s - 0.5) * sine;
  }
  return { f, g };
});

function spiral(out: { c: number; s: number }, v: number): void {
  const size = Math.abs(v);
  const { f: tableF, g: tableG } = auxiliary();
  let [f, g] = [0, 0];
  if (size < END) {
    const at = size * FINE;
    const i = at | 0;
    const t = at - i;
    f = tableF[i] + t * (tableF[i + 1] - tableF[i]);
    g = tableG[i] + t * (tableG[i + 1] - tableG[i]);
  } else {
    const over = 1 / (Math.PI * size * size);
    f = (1 - 3 * over * over) / (Math.PI * size);
    g = (over * (1 - 15 * over * over)) / (Math.PI * size);
  }
  const phase = (Math.PI / 2) * size * size;
  const [sine, cosine] = [Math.sin(phase), Math.cos(phase)];
  const sign = v < 0 ? -1 : 1;
  out.c = sign * (0.5 + f * sine - g * cosine);
  out.s = sign * (0.5 - f * cosine - g * sine);
}

/** The middle part of rows with `channels` values each, every one the mean over `width` rows about it. */
function blurred(
  rows: Float64Array,
  channels: number,
  points: number,
  more: number,
  width: number,
): Float64Array {
  if (more === 0) return rows;
  const out = new Float64Array(channels * points);
  const count = rows.length / channels;
  for (let c = 0; c < channels; c++) {
    const upTo = new Float64Array(count);
    for (let i = 1; i < count; i++)
      upTo[i] = upTo[i - 1] + (rows[channels * (i - 1) + c] + rows[channels * i + c]) / 2;
    const at = (place: number) => {
      const i = Math.min(count - 2, Math.max(0, Math.floor(place)));
      const t = place - i;
      const [a, b] = [rows[channels * i + c], rows[channels * (i + 1) + c]];
      return upTo[i] + t * (a + (t * (b - a)) / 2);
    };
    for (let i = 0; i < points; i++)
      out[channels * i + c] = (at(i + more + width / 2) - at(i + more - width / 2)) / width;
  }
  return out;
}

/** X, Y, Z of the place whose strongest channel is the strongest of all, as the camera's white balance has it. */
function brightestOf(xyz: Float64Array, balance: Adaptation = [1, 0, 0, 0, 1, 0, 0, 0, 1]): XYZ {
  const rgb = new Float64Array(3);
  const A = balance;
  let [brightest, most]: [XYZ, number] = [[0, 1, 0], 0];
  for (let i = 0; i < xyz.length; i += 3) {
    const [x, y, z] = xyz.subarray(i, i + 3);
    paled(
      A[0] * x + A[1] * y + A[2] * z,
      A[3] * x + A[4] * y + A[5] * z,
      A[6] * x + A[7] * y + A[8] * z,
      rgb,
    );
    const strongest = Math.max(rgb[0], rgb[1], rgb[2]);
    if (strongest > most) [brightest, most] = [[x, y, z], strongest];
  }
  return brightest;
}
