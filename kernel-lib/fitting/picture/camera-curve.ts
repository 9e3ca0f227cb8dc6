import { median } from '../../numerics/median';
import { requireFinite, requireNumbers, requirePositive } from '../../numerics/require';
import { backSubstitute, triangulate } from '../householder';
import { readPicture } from './read-picture';
import { linearFromSrgb } from './srgb-curve';

/** A camera's curve as it was measured: the irradiance that each code stands for, both 0…1 of full scale and rising. */
export interface MeasuredCurve {
  readonly codes: readonly number[];
  readonly light: readonly number[];
  /** Relative standard uncertainty of a ratio of two irradiances read with it. */
  readonly u?: number;
}

/** What undoes a camera's curve: the standard's, none, an exponent γ (light = code^γ), or one that was measured. */
export type CameraCurve = 'sRGB' | 'linear' | number | MeasuredCurve;

/** Linear signal of each code value 0 … full, as a table. */
export function linearTable(curve: CameraCurve = 'sRGB', full: number): Float32Array {
  const undo = undoing(curve);
  return Float32Array.from({ length: full + 1 }, (_, code) => undo(code / full));
}

function undoing(curve: CameraCurve): (code: number) => number {
  if (curve === 'sRGB') return linearFromSrgb;
  if (curve === 'linear') return (code) => code;
  if (typeof curve === 'number') {
    requirePositive(
      "The exponent of the camera's curve",
      curve,
      'give γ of light = code^γ, such as 2.2',
    );
    return (code) => code ** curve;
  }
  const { codes, light } = curve ?? {};
  requireNumbers('curve.codes', codes, 'codes from 0 to 1', { least: 2 });
  requireNumbers('curve.light', light, 'light from 0 to 1', { count: codes.length });
  for (let k = 1; k < codes.length; k++) {
    if (codes[k] > codes[k - 1] && light[k] >= light[k - 1]) continue;
    throw new RangeError(
      `The camera's curve must rise, but its point ${k + 1} (code ${codes[k]}, light ${light[k]}) does not lie above the one before.`,
    );
  }
  return (code) => {
    let k = 1;
    while (k < codes.length - 1 && codes[k] < code) k++;
    const part = (code - codes[k - 1]) / (codes[k] - codes[k - 1]);
    return light[k - 1] + part * (light[k] - light[k - 1]);
  };
}

/** The same places photographed twice: their codes (0…1), and how many times more light the second had. */
export interface TwoExposures {
  readonly darker: readonly number[];
  readonly brighter: readonly number[];
  /** Exposure time of the brighter over that of the darker, above 1. */
  readonly ratio: number;
}

/** Codes at which the curve may bend away from a power of the code. */
const nodes = [0.03, 0.06, 0.1, 0.16, 0.24, 0.34, 0.45, 0.57, 0.7, 0.85, 1];

/** How much a bend counts against a relative misfit of one pair. */
const stiffness = 0.05;

/**
 * A camera's curve from two exposures of one still scene, the times of which are known: light(code₂) = r · light(code₁).
 *
 *   ln light = γ ln code + Σ b_j hat_j(code):  Σ (ln light(code₂) − ln light(code₁) − ln r)² + stiffness → minimum
 *
 * Codes below 0.02 (dark signal) and above 0.97 (full) are left out. Exposures that differ by 2 to 8 times, of a scene with
 * all tones, tell it best. Its absolute height means nothing: light is 1 at full scale.
 *
 * @param pairs codes of the same places in both, 0…1, and the ratio of exposure times
 * @returns a curve for `pictureProfile`'s `curve`, its u the relative scatter of single pairs
 * @throws RangeError with fewer than eight usable pairs, or a ratio that is not above 1
 * @see Debevec and Malik, SIGGRAPH 97, 369 (from memory), for the idea
 * @example
 * const darker = Array.from({ length: 40 }, (_, k) => 0.05 + k * 0.015);
 * const brighter = darker.map((code) => code * 4 ** (1 / 2.2));
 * curveFromExposures({ darker, brighter, ratio: 4 }).light.at(-6) // 0.8361
 */
export function curveFromExposures(pairs: TwoExposures): MeasuredCurve {
  const { darker, brighter, ratio } = pairs ?? {};
  requireNumbers('darker', darker, 'give the codes of the darker picture, 0 to 1');
  requireNumbers('brighter', brighter, 'give the codes of the same places', {
    count: darker.length,
  });
  requireFinite('ratio', ratio, 'give the ratio of the exposure times');
  if (!(ratio > 1)) {
    throw new RangeError(`ratio is ${ratio}: give the longer exposure time over the shorter.`);
  }
  const usable = (code: number) => code >= 0.02 && code <= 0.97;
  const use = [...darker.keys()].filter((k) => usable(darker[k]) && usable(brighter[k]));
  if (use.length < 8) {
    throw new RangeError(
      `${use.length} of ${darker.length} places are neither dark nor full in both pictures: at least 8 are needed. Photograph a scene with all tones, the second exposed 2 to 8 times as long.`,
    );
  }
  const free = nodes.length - 1;
  const bends = free - 1;
  const columns = Array.from({ length: free + 1 }, () => new Float64Array(use.length + bends));
  const right = new Float64Array(use.length + bends);
  for (const [i, k] of use.entries()) {
    columns[0][i] = Math.log(brighter[k]) - Math.log(darker[k]);
    for (let j = 0; j < free; j++) columns[j + 1][i] = hat(j, brighter[k]) - hat(j, darker[k]);
    right[i] = Math.log(ratio);
  }
  const weight = stiffness * Math.sqrt(use.length);
  for (let j = 0; j < bends; j++) {
    const row = use.length + j;
    columns[j + 1][row] = weight;
    columns[j + 2][row] = -2 * weight;
    if (j + 3 <= free) columns[j + 3][row] = weight;
  }
  const found = backSubstitute(
    triangulate(
      columns.map((column) => column.slice()),
      right.slice(),
    ),
  );
  let rest = 0;
  for (let i = 0; i < use.length; i++) {
    const value = columns.reduce((sum, column, j) => sum + found[j] * column[i], 0);
    rest += (right[i] - value) ** 2;
  }
  const lightOf = (code: number) =>
    Math.exp(
      found[0] * Math.log(code) +
        nodes.reduce((sum, _, j) => sum + (j < free ? found[j + 1] * hat(j, code) : 0), 0),
    );
  const codes = Array.from({ length: 65 }, (_, k) => k / 64);
  const light = codes.map((code) => (code === 0 ? 0 : lightOf(code)));
  // Where no pair was the curve may not fall: it goes on as it came.
  for (let k = 1; k < light.length; k++)
    light[k] = Math.max(light[k], light[k - 1] * 1.0001 + 1e-9);
  const top = light[light.length - 1];
  return {
    codes,
    light: light.map((value) => value / top),
    u: Math.sqrt(rest / Math.max(1, use.length - 2)),
  };
}

/** A hat at node j, straight down to 0 at its neighbours; the first goes on to the dark end. */
function hat(j: number, code: number): number {
  const [before, at, after] = [nodes[j - 1], nodes[j], nodes[j + 1]];
  if (code <= at) {
    if (before === undefined) return 1;
    return code <= before ? 0 : (code - before) / (at - before);
  }
  return code >= after ? 0 : (after - code) / (after - at);
}

/**
 * The pairs that `curveFromExposures` takes, from two photographs of one still scene: to each code of the darker picture
 * the median code of the same pixels in the brighter one.
 *
 * @param darker PNG or JPEG
 * @param brighter the same scene from the same place, exposed longer
 * @param ratio of the exposure times, above 1
 * @param channel number of the channel: 0 red or grey, 1 green, 2 blue; default 1 of colour pictures
 * @throws RangeError when the pictures differ in size
 * @example
 * const card = (code) => encodePicture({ width: 2, height: 1, channels: 1, data: Uint8Array.of(code, code) });
 * exposurePairs(card(51), card(102), 2).brighter[0] // 0.4
 */
export function exposurePairs(
  darker: Uint8Array | string,
  brighter: Uint8Array | string,
  ratio: number,
  channel?: number,
): TwoExposures {
  const [first, second] = [readPicture(darker), readPicture(brighter)];
  if (first.width !== second.width || first.height !== second.height) {
    throw new RangeError(
      `The pictures have ${first.width} × ${first.height} and ${second.width} × ${second.height} pixels: take both with the same camera from the same place, and cut neither.`,
    );
  }
  const codesOf = (picture: typeof first) => {
    const c = Math.min(channel ?? 1, picture.channels - 1);
    const list = new Float64Array(picture.width * picture.height);
    let at = 0;
    picture.each((row) => {
      for (let x = 0; x < picture.width; x++)
        list[at++] = row[x * picture.channels + c] / picture.full;
    });
    return list;
  };
  const [from, to] = [codesOf(first), codesOf(second)];
  const groups = new Map<number, number[]>();
  for (let i = 0; i < from.length; i++) {
    const code = Math.round(from[i] * 255);
    const group = groups.get(code);
    if (group) group.push(to[i]);
    else groups.set(code, [to[i]]);
  }
  const codes = [...groups.keys()].sort((a, b) => a - b);
  return {
    darker: codes.map((code) => code / 255),
    brighter: codes.map((code) => median(groups.get(code) as number[])),
    ratio,
  };
}

/**
 * A camera's curve from a wedge of steps whose light is known: a printed or photographic step wedge, or even grey fields
 * beside one of which the light was measured.
 *
 * @param codes mean code of each step, 0…1
 * @param light light of each step, in any unit; the curve is straight between steps, and through 0
 * @returns a curve for `pictureProfile`'s `curve`
 * @throws RangeError with fewer than three steps, or steps whose codes and light do not rise together
 * @example curveFromWedge([0.2, 0.5, 0.9], [0.03, 0.21, 0.79]).codes.length // 5
 */
export function curveFromWedge(codes: readonly number[], light: readonly number[]): MeasuredCurve {
  requireNumbers('codes', codes, 'give the mean code of each step, 0 to 1', { least: 3 });
  requireNumbers('light', light, 'give the light of each step', { count: codes.length });
  const steps = codes
    .map((code, k) => ({ code, light: light[k] }))
    .filter(({ code }) => code > 0)
    .sort((a, b) => a.code - b.code);
  const [before, last] = steps.slice(-2);
  if (last.code < 1) {
    const rate = (last.light - before.light) / (last.code - before.code);
    steps.push({ code: 1, light: last.light + rate * (1 - last.code) });
  }
  steps.unshift({ code: 0, light: 0 });
  const top = steps[steps.length - 1].light;
  const curve = {
    codes: steps.map(({ code }) => code),
    light: steps.map((step) => step.light / top),
  };
  undoing(curve);
  return curve;
}
