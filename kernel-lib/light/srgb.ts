import { requireNumbers, requirePositive } from '../numerics/require';
import type { XYZ } from './light';

/** XYZ to linear sRGB: the primaries and white of IEC 61966-2-1 as exact ratios (CSS Color 4, section 18). */
const FROM_XYZ = [
  12831 / 3959,
  -329 / 214,
  -1974 / 3959,
  -851781 / 878810,
  1648619 / 878810,
  36519 / 878810,
  705 / 12673,
  -2585 / 12673,
  705 / 667,
] as const;

/**
 * A colour for the screen, encoded sRGB.
 *
 * Spectral colours lie outside what a screen shows. They are brought in with their hue kept, as
 * Oklab counts hue, because the picture is for the eye: first the colour is paled, at equal lightness
 * and hue, until no channel is below 0; then, where a channel is above 1, all three are dimmed by one
 * factor, as a shorter exposure would do. So red stays red however bright it is, and only what is
 * white shows as white. (Mixing with white along a straight line in the x, y diagram would keep the
 * dominant wavelength instead, but turns blue into violet to the eye.)
 *
 * @param colour [X, Y, Z]; Y = 1 is the screen's white
 * @param options exposure: factor before all else, > 0, default 1
 * @returns [R, G, B], each 0…1
 * @throws RangeError for an exposure that is not above 0, or a colour that is not three numbers
 * @see IEC 61966-2-1; CSS Color 4 for Oklab
 * @example srgb([0.3, 0.4, 0.2]) // [0.5445, 0.7138, 0.4189]
 */
export function srgb(colour: XYZ, options: { exposure?: number } = {}): [number, number, number] {
  const { exposure = 1 } = options;
  requirePositive('The exposure', exposure, 'give a factor such as 4');
  requireNumbers('colour', colour, 'give X, Y, Z as three finite numbers', { count: 3 });
  const [x, y, z] = colour;
  const rgb = new Float64Array(3);
  paled(x * exposure, y * exposure, z * exposure, rgb);
  const dim = Math.max(1, rgb[0], rgb[1], rgb[2]);
  return [encoded(rgb[0] / dim), encoded(rgb[1] / dim), encoded(rgb[2] / dim)];
}

/**
 * Linear sRGB of a colour: 0…1 where the screen can show it, outside where it cannot.
 *
 * @see IEC 61966-2-1
 * @example linearSrgb([0.3, 0.4, 0.2]) // [0.2576, 0.4679, 0.1465]
 */
export function linearSrgb(colour: XYZ): [number, number, number] {
  const [x, y, z] = colour;
  const M = FROM_XYZ;
  return [
    M[0] * x + M[1] * y + M[2] * z,
    M[3] * x + M[4] * y + M[5] * z,
    M[6] * x + M[7] * y + M[8] * z,
  ];
}

/** The curve of sRGB backwards: encoded 0…1 to linear 0…1. @see IEC 61966-2-1 */
export function decoded(encoded: number): number {
  return encoded <= 0.04045 ? encoded / 12.92 : ((encoded + 0.055) / 1.055) ** 2.4;
}

/** The curve of sRGB: linear 0…1 to encoded 0…1. @see IEC 61966-2-1 */
export function encoded(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}

/** Linear sRGB of X, Y, Z with no channel below 0, of the same lightness and hue, written into `rgb`. */
export function paled(x: number, y: number, z: number, rgb: Float64Array): void {
  const M = FROM_XYZ;
  rgb[0] = M[0] * x + M[1] * y + M[2] * z;
  rgb[1] = M[3] * x + M[4] * y + M[5] * z;
  rgb[2] = M[6] * x + M[7] * y + M[8] * z;
  if (rgb[0] < 0 || rgb[1] < 0 || rgb[2] < 0) pale(x, y, z, rgb);
}

const roots = new Float64Array(3);

/** Move straight towards the grey of equal lightness (a straight line in Oklab, so one hue) until no channel is below 0. */
function pale(x: number, y: number, z: number, rgb: Float64Array): void {
  coneRoots(x, y, z, roots);
  const grey = lightness(roots);
  if (!(grey > 0)) {
    rgb.fill(0);
    return;
  }
  // Responses are cubes, so along that line every channel is a polynomial of degree 3 in the share of colour kept.
  const l = roots[0] / grey - 1;
  const m = roots[1] / grey - 1;
  const s = roots[2] / grey - 1;
  const F = FROM_LMS;
  for (let c = 0, at = 0; c < 9; c += 3, at += 4) {
    const fl = F[c] * l;
    const fm = F[c + 1] * m;
    const fs = F[c + 2] * s;
    lines[at] = F[c] + F[c + 1] + F[c + 2];
    lines[at + 1] = 3 * (fl + fm + fs);
    lines[at + 2] = 3 * (fl * l + fm * m + fs * s);
    lines[at + 3] = fl * l * l + fm * m * m + fs * s * s;
  }
  let share = 1;
  for (let at = 0; at < 12; at += 4) share = shareAtZero(at, share);
  // Near blue another channel can fall below 0 on the way, so all are looked at once more.
  for (let at = 0; at < 12; at += 4) share = shareAtZero(at, share);
  const cube = grey * grey * grey;
  for (let c = 0; c < 3; c++) rgb[c] = Math.max(0, cube * channel(4 * c, share));
}

/** Oklab's cone-like responses to linear sRGB (CSS Color 4's matrices, one after the other). */
const FROM_LMS = [
  4.0767416360759574, -3.3077115392580616, 0.2309699031821044, -1.2684379732850317,
  2.6097573492876887, -0.3413193760026573, -0.0041960761386756, -0.7034186179359363,
  1.7076146940746117,
] as const;

// Oklab (Björn Ottosson, 2020; matrices as in CSS Color 4): cone-like responses, their cube roots, and from
// these lightness L and two opponent axes a, b. Equal angle of (a, b): equal hue to the eye.

/** XYZ (D65, white at Y = 1) to cone-like responses. */
const TO_LMS = [
  0.819022437996703, 0.3619062600528904, -0.1288737815209879, 0.0329836539323885,
  0.9292868615863434, 0.0361446663506424, 0.0481771893596242, 0.2642395317527308,
  0.6335478284694309,
] as const;

/** Cube roots of the responses to L, a, b. */
const TO_LAB = [
  0.210454268309314, 0.7936177747023054, -0.0040720430116193, 1.9779985324311684,
  -2.4285922420485799, 0.450593709617411, 0.0259040424655478, 0.7827717124575296,
  -0.8086757549230774,
] as const;

/** Cube roots of the cone-like responses, written into `out`. */
function coneRoots(x: number, y: number, z: number, out: Float64Array): void {
  out[0] = Math.cbrt(TO_LMS[0] * x + TO_LMS[1] * y + TO_LMS[2] * z);
  out[1] = Math.cbrt(TO_LMS[3] * x + TO_LMS[4] * y + TO_LMS[5] * z);
  out[2] = Math.cbrt(TO_LMS[6] * x + TO_LMS[7] * y + TO_LMS[8] * z);
}

/** Oklab's lightness from the cube roots: a grey of the same lightness has all three roots equal to it. */
function lightness(roots: Float64Array): number {
  return TO_LAB[0] * roots[0] + TO_LAB[1] * roots[1] + TO_LAB[2] * roots[2];
}

/** Coefficients of each channel, red, green, blue, along the line from grey (1 everywhere) to the colour. */
const lines = new Float64Array(12);

/** A channel of the colour that is grey at share 0 and full at share 1, relative to the grey. */
function channel(at: number, share: number): number {
  return lines[at] + share * (lines[at + 1] + share * (lines[at + 2] + share * lines[at + 3]));
}

/**
 * The share, at most `most`, at which a channel reaches 0, to a millionth of the grey: Newton's method
 * from the straight line between the ends, halving where a step would leave the bracket.
 */
function shareAtZero(at: number, most: number): number {
  const end = channel(at, most);
  if (end >= 0) return most;
  let inside = 0;
  let outside = most;
  let share = (most * lines[at]) / (lines[at] - end);
  for (let i = 0; i < 40; i++) {
    const value = channel(at, share);
    if (Math.abs(value) < 1e-6) return share;
    if (value < 0) outside = share;
    else inside = share;
    const slope = lines[at + 1] + share * (2 * lines[at + 2] + 3 * share * lines[at + 3]);
    share -= value / slope;
    if (!(share > inside && share < outside)) share = (inside + outside) / 2;
  }
  return inside;
}
