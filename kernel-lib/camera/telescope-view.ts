import type { Light, XYZ } from '../light/light';
import { colourMatching, SEEN_FROM, SEEN_TO } from '../light/observer';
import { paled } from '../light/srgb';
import { once } from '../numerics/once';
import {
  requireFinite,
  requireKnown,
  requireNotNegative,
  requirePositive,
  requireWhole,
} from '../numerics/require';
import { sincPi } from '../numerics/sinc';
import { develop } from './develop';

/** A grating spectrometer and where its telescope looks. Lengths in m, angles in rad. */
export interface TelescopeOptions {
  /** Distance d of neighbouring lines of the grating, m. */
  readonly spacing: number;
  /** Number N of lines that the beam meets. */
  readonly lines: number;
  /** Direction of the telescope from the straight beam, rad: θ − θi. Default 0. */
  readonly telescope?: number;
  /** Angle that the eyepiece shows from one edge to the other, rad. Default 3°. */
  readonly field?: number;
  /** Angle of incidence θi, rad, −π/2…π/2. Default 0. */
  readonly incidence?: number;
  /** Width of the source slit, m. Default 0: a line. */
  readonly sourceWidth?: number;
  /** Focal length of the collimator, m. Default 0.3. */
  readonly collimatorFocalLength?: number;
  /** Number of places across the field, 2…100 000. Default 1201. */
  readonly points?: number;
  /** What the brightest place of the first order comes to, 1 being all that is shown. Default 1. */
  readonly exposure?: number;
}

/** What is seen in the eyepiece, from one edge of its field to the other. */
export interface TelescopeView {
  /** Direction of each place from the straight beam, rad, ascending. */
  readonly angles: Float64Array;
  /** X, Y, Z of each place, interleaved, as bright as the source slit itself where one line of power 1 fills it. */
  readonly xyz: Float64Array;
  /** R, G, B of each place, interleaved, 0…255, after exposure. */
  readonly srgb: Uint8ClampedArray;
  /** 1 where it is brighter than can be shown. */
  readonly burntOut: Uint8Array;
}

const usual = {
  telescope: 0,
  field: Math.PI / 60,
  incidence: 0,
  sourceWidth: 0,
  collimatorFocalLength: 0.3,
  points: 1201,
  exposure: 1,
};

function checked(given: TelescopeOptions): Required<TelescopeOptions> {
  requireKnown('telescopeView', given, ['spacing', 'lines', ...Object.keys(usual)]);
  const options = { ...usual, ...given };
  requirePositive('spacing', options.spacing, 'give metres, such as 1e-3 / 600');
  requireWhole('lines', options.lines, 1, 1e9);
  requireFinite('telescope', options.telescope, 'give an angle in radians');
  requirePositive('field', options.field, 'give an angle in radians, such as degrees(3)');
  requireFinite('incidence', options.incidence, 'give an angle in radians');
  if (Math.abs(options.incidence) >= Math.PI / 2)
    throw new RangeError(
      `incidence is ${options.incidence} rad, but the beam must meet the grating from the front: give less than π/2 either way. Was it in degrees?`,
    );
  requireNotNegative('sourceWidth', options.sourceWidth, 'give a width in metres, 0 for a line');
  requirePositive('collimatorFocalLength', options.collimatorFocalLength, 'give metres');
  requireWhole('points', options.points, 2, 100_000);
  requirePositive('exposure', options.exposure, 'give a factor such as 4');
  return options;
}

/**
 * What is seen in the telescope of a grating spectrometer: the image of the source slit in every colour and order.
 *
 * A wavelength λ is seen at s = sin θ − sin θi as bright as
 *
 *   B(s) = ∫ D(s − s′) ds′ over the slit's image |s′| ≤ b/2,  b = cos θi · slit width / collimator's focal length
 *   D(s) = (Nd/λ) Σₘ sinc²(π N d (s − mλ/d)/λ) = (d/Nλ) [sin(Nπds/λ) / sin(πds/λ)]²
 *
 * the last two being the same to the last digit: all orders of a grating of N lines, each with its own maxima beside
 * it. So the work does not grow with N. The image is as bright as the slit itself where it is wider than the
 * diffraction, and fainter where it is not. Nothing is finer than one place of the field.
 *
 * How strongly a real grating favours an order depends on the shape of its lines; here all are alike. Far field,
 * scalar, the telescope's own opening wider than the beam.
 *
 * @param light such as lamp('sodium') or sunlightWithDarkLines()
 * @param options grating, slit, and where the telescope looks; see TelescopeOptions
 * @returns directions, rad; X, Y, Z; sRGB and where it is burnt out
 * @throws RangeError, TypeError for options out of range
 * @see common practice, no source: N-slit interference, a finite slit as a mean over its width
 * @example telescopeView(lamp('sodium'), { spacing: 1e-3 / 600, lines: 12000, telescope: 0.3615 }).srgb.length // 3603
 */
export function telescopeView(light: Light, options: TelescopeOptions): TelescopeView {
  const setting = checked(options);
  const { telescope, field, incidence, points, exposure } = setting;
  const angles = Float64Array.from(
    { length: points },
    (_, i) => telescope + (i / (points - 1) - 0.5) * field,
  );
  const xyz = new Float64Array(3 * points);
  const beam = beamOf(setting);
  // The grating sends nothing behind itself.
  const from = angles.findIndex((angle) => Math.abs(angle + incidence) < Math.PI / 2);
  if (from >= 0) {
    let to = from;
    while (to < points && Math.abs(angles[to] + incidence) < Math.PI / 2) to++;
    const sines = angles
      .subarray(from, to)
      .map((angle) => 2 * Math.cos(incidence + angle / 2) * Math.sin(angle / 2));
    const seen = xyz.subarray(3 * from, 3 * to);
    for (const order of ordersOver(beam, sines)) {
      addLines(light.lines ?? [], order, beam, sines, seen);
      if (light.continuum) addSmoothly(light.continuum, order, beam, sines, seen);
    }
  }
  const set = { exposure, scale: 'linear' as const, decades: 4 };
  return { angles, xyz, ...develop(xyz, brightestOf(light, beam), set, undefined) };
}

/** A setting in direction sines. */
interface Beam {
  readonly spacing: number;
  readonly lines: number;
  /** Width of the slit's image, and not below that of a place of the field. */
  readonly box: number;
  /** Factor that makes a line as bright as the slit, where the box is wider than the slit's image. */
  readonly gain: number;
  /** How far beside its middle a maximum is drawn, in units of λ/(N d). */
  readonly reach: number;
}

/** A source slit without width is taken as this wide, in sines: any line is narrower. */
const NARROW = 1e-7;

function beamOf(setting: Required<TelescopeOptions>): Beam {
  const { spacing, lines, sourceWidth, collimatorFocalLength } = setting;
  const { incidence, telescope, field, points } = setting;
  const image = Math.max(NARROW, (Math.cos(incidence) * sourceWidth) / collimatorFocalLength);
  const place = (Math.abs(Math.cos(incidence + telescope)) * field) / (points - 1);
  const box = Math.max(image, place);
  return { spacing, lines, box, gain: image / box, reach: reachOf(lines) };
}

/** How far beside its middle a maximum is drawn, in units of λ/(N d): what is left out is below 10⁻³ of the middle. */
const reachOf = (lines: number) => 12 + 240 / lines;

/** Orders of which some seen wavelength comes near the field; those beside the last that exist send in their side maxima. */
function ordersOver({ spacing, lines, box, reach }: Beam, sines: Float64Array): number[] {
  const orders: number[] = [];
  const last = Math.ceil(2 * (spacing / SEEN_FROM) + reach / lines) + 1;
  const [low, high] = [sines[0], sines[sines.length - 1]];
  const room = box + (reach * SEEN_TO) / (lines * spacing);
  for (let m = -last; m <= last; m++) {
    const ends = [(m * SEEN_FROM) / spacing, (m * SEEN_TO) / spacing];
    if (Math.max(...ends) >= low - room && Math.min(...ends) <= high + room) orders.push(m);
  }
  return orders;
}

function addLines(
  lines: NonNullable<Light['lines']>,
  order: number,
  beam: Beam,
  sines: Float64Array,
  xyz: Float64Array,
): void {
  for (const { wavelength, power } of lines) {
    if (wavelength < SEEN_FROM || wavelength > SEEN_TO) continue;
    addImage(colourMatching(wavelength), power, wavelength, 0, order, beam, sines, xyz);
  }
}

/** Places to each λ/(N d), below which nothing changes: between them the cubic through four is true to 10⁻³. */
const PLACES = 8;

/** A continuous spectrum at no more places than its maxima are broad, and curved lines between them: few lines of a grating make broad ones. */
function addSmoothly(
  continuum: NonNullable<Light['continuum']>,
  order: number,
  beam: Beam,
  sines: Float64Array,
  xyz: Float64Array,
): void {
  const place = (sines[sines.length - 1] - sines[0]) / (sines.length - 1);
  const stride = Math.floor(SEEN_FROM / (beam.lines * beam.spacing * PLACES * place));
  if (!(stride > 1)) {
    addContinuum(continuum, order, beam, sines, xyz);
    return;
  }
  // One place more before the first and two after the last, where the field goes on as it does at its edge.
  const last = sines.length - 1;
  const at = (i: number) =>
    i < 0 ? sines[0] + i * place : i > last ? sines[last] + (i - last) * place : sines[i];
  const count = Math.ceil(sines.length / stride) + 3;
  const coarse = Float64Array.from({ length: count }, (_, k) => at((k - 1) * stride));
  const few = new Float64Array(3 * count);
  addContinuum(continuum, order, beam, coarse, few);
  for (let i = 0; i < sines.length; i++) {
    const k = Math.floor(i / stride);
    const t = i / stride - k;
    for (let c = 0; c < 3; c++) {
      const [a, b, d, e] = [0, 3, 6, 9].map((next) => few[3 * k + next + c]);
      xyz[3 * i + c] += Math.max(0, hermite(b, d, (d - a) / 2, (e - b) / 2, t));
    }
  }
}

/** Pieces of a continuous spectrum, fine enough that none is broader than half of what can be told apart. */
function addContinuum(
  continuum: NonNullable<Light['continuum']>,
  order: number,
  beam: Beam,
  sines: Float64Array,
  xyz: Float64Array,
): void {
  const { spacing, lines, box, reach } = beam;
  const room = box + (reach * SEEN_TO) / (lines * spacing);
  const m = Math.abs(order);
  const widest = Math.min(8e-9, Math.max(WIDEST, SEEN_FROM / (12 * Math.max(1, m) * lines)));
  let [from, to, step] = [SEEN_FROM, SEEN_TO, widest];
  if (m > 0) {
    const ends = [sines[0] - room, sines[sines.length - 1] + room].map(
      (s) => (s * spacing) / order,
    );
    from = Math.max(from, Math.min(...ends));
    to = Math.min(to, Math.max(...ends));
    step = Math.min(widest, Math.max((box * spacing) / m, SEEN_FROM / (m * lines)) / 2);
  }
  from = Math.max(from, continuum.wavelengths[0]);
  to = Math.min(to, continuum.wavelengths[continuum.wavelengths.length - 1]);
  if (!(to > from)) return;
  const pieces = Math.ceil((to - from) / step);
  const width = (to - from) / pieces;
  const energy = energyUpTo(continuum, from);
  for (let k = 0; k < pieces; k++) {
    const wavelength = from + (k + 0.5) * width;
    const power = energy(from + (k + 1) * width);
    const spread = (width * m) / spacing;
    addImage(colourMatching(wavelength), power, wavelength, spread, order, beam, sines, xyz);
  }
}

/** Broadest piece, m, where diffraction does not blur it anyway: colours change little within it. */
const WIDEST = 2e-9;

/** The light between one wavelength and the next that is asked for, ascending from the first; power is straight between samples. */
function energyUpTo(
  { wavelengths, power }: NonNullable<Light['continuum']>,
  first: number,
): (to: number) => number {
  let at = 0;
  while (at < wavelengths.length - 2 && wavelengths[at + 1] <= first) at++;
  let here = first;
  const powerAt = (wavelength: number) => {
    const share = (wavelength - wavelengths[at]) / (wavelengths[at + 1] - wavelengths[at]);
    return power[at] + share * (power[at + 1] - power[at]);
  };
  return (to) => {
    let sum = 0;
    while (here < to) {
      const next = Math.min(to, at < wavelengths.length - 2 ? wavelengths[at + 1] : to);
      sum += ((powerAt(here) + powerAt(next)) / 2) * (next - here);
      here = next;
      if (here < to) at++;
    }
    return sum;
  };
}

/** Add the image of the slit in one colour and order, `spread` broader in s where it is a piece of a spectrum. */
function addImage(
  [x, y, z]: readonly [number, number, number],
  power: number,
  wavelength: number,
  spread: number,
  order: number,
  { spacing, lines, box, gain, reach }: Beam,
  sines: Float64Array,
  xyz: Float64Array,
): void {
  const unit = wavelength / (lines * spacing);
  const middle = (order * wavelength) / spacing;
  const edge = (box + spread) / 2 + reach * unit;
  const first = firstAtLeast(sines, middle - edge);
  const half = box / 2 / unit;
  const piece = spread / 2 / unit;
  const strength = power * gain;
  for (let i = first; i < sines.length && sines[i] <= middle + edge; i++) {
    const u = (sines[i] - middle) / unit;
    // A piece narrower than a thousandth of a maximum is a line.
    const share =
      piece < 5e-4
        ? lightTo(u + half) - lightTo(u - half)
        : (lightToTwice(u + half + piece) -
            lightToTwice(u + half - piece) -
            lightToTwice(u - half + piece) +
            lightToTwice(u - half - piece)) /
          (2 * piece);
    xyz[3 * i] += strength * x * share;
    xyz[3 * i + 1] += strength * y * share;
    xyz[3 * i + 2] += strength * z * share;
  }
}

function firstAtLeast(sines: Float64Array, value: number): number {
  let [low, high] = [0, sines.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sines[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Entries for each unit of u in the tables of sinc². */
const FINE = 64;
/** Where the tables end. */
const END = 32;

/** ∫₀ᵘ sinc²(πv) dv and its own integral, at u = 0, 1/FINE … END, by Simpson's rule. */
const integrals = once(() => {
  const first = new Float64Array(END * FINE + 1);
  const second = new Float64Array(END * FINE + 1);
  const h = 1 / FINE;
  for (let i = 1; i < first.length; i++) {
    const [a, b] = [(i - 1) * h, i * h];
    const middle = sincSquare((a + b) / 2);
    first[i] = first[i - 1] + (h / 6) * (sincSquare(a) + 4 * middle + sincSquare(b));
    // Half way the first integral is the cubic through both ends with the slopes there.
    const between = (first[i - 1] + first[i]) / 2 + (h / 8) * (sincSquare(a) - sincSquare(b));
    second[i] = second[i - 1] + (h / 6) * (first[i - 1] + 4 * between + first[i]);
  }
  return { first, second };
});

const sincSquare = (u: number) => sincPi(u) ** 2;

/** ∫₀ᵘ sinc²(πv) dv: ½ for u → ∞. */
function lightTo(u: number): number {
  const size = Math.abs(u);
  if (size >= END) return Math.sign(u) * (0.5 - 1 / (2 * Math.PI * Math.PI * size));
  const at = size * FINE;
  const i = Math.floor(at);
  const { first } = integrals();
  const slope = (k: number) => sincSquare(k / FINE) / FINE;
  return Math.sign(u) * hermite(first[i], first[i + 1], slope(i), slope(i + 1), at - i);
}

/** ∫₀ᵘ of that: even in u. */
function lightToTwice(u: number): number {
  const size = Math.abs(u);
  const { first, second } = integrals();
  if (size >= END)
    return second[END * FINE] + (size - END) / 2 - Math.log(size / END) / (2 * Math.PI * Math.PI);
  const at = size * FINE;
  const i = Math.floor(at);
  return hermite(second[i], second[i + 1], first[i] / FINE, first[i + 1] / FINE, at - i);
}

/** The cubic with values and slopes at both ends of a step of 1. */
function hermite(a: number, b: number, slopeA: number, slopeB: number, t: number): number {
  const rise = b - a;
  return a + t * (slopeA + t * (3 * rise - 2 * slopeA - slopeB + t * (slopeA + slopeB - 2 * rise)));
}

/** X, Y, Z of the brightest place of the first order, wherever the telescope looks. */
function brightestOf(light: Light, { spacing, lines, box, gain }: Beam): XYZ {
  const rgb = new Float64Array(3);
  let [brightest, most]: [XYZ, number] = [[0, 1, 0], 0];
  const look = ([x, y, z]: readonly [number, number, number], strength: number) => {
    paled(x * strength, y * strength, z * strength, rgb);
    const strongest = Math.max(rgb[0], rgb[1], rgb[2]);
    if (strongest > most)
      [brightest, most] = [[x * strength, y * strength, z * strength], strongest];
  };
  for (const { wavelength, power } of light.lines ?? []) {
    const half = (box / 2) * ((lines * spacing) / wavelength);
    look(colourMatching(wavelength), power * gain * 2 * lightTo(half));
  }
  const { wavelengths = [], power = [] } = light.continuum ?? {};
  wavelengths.forEach((wavelength, i) => {
    if (wavelength < SEEN_FROM || wavelength > SEEN_TO) return;
    look(colourMatching(wavelength), power[i] * gain * box * spacing);
  });
  return brightest;
}
