import type { Aperture } from '../aperture/aperture';
import { runs } from '../aperture/runs';
import type { Light, XYZ } from '../light/light';
import { type Adaptation, adaptationFrom, isWhite } from '../light/white-balance';
import { xyz as lightXyz } from '../light/xyz';
import { describeStrip } from './describe-strip';
import { develop } from './develop';
import { blurBoxes, type FilmStrip, filmGeometry, sineAt } from './film';
import { prepare } from './prepared-light';
import { type FilmStripOptions, stripOptions } from './strip-options';
import { isEven, relativePattern } from './white-pattern';

/**
 * What a camera records behind an aperture in any light: colour against position.
 *
 *   XYZ(x) ∝ ∫ w(λ) (x̄, ȳ, z̄)(λ) I(s/λ) dλ, x = f tan(θ − θi), s = sin θ − sin θi
 *
 * Far field (Fraunhofer), scalar, the aperture's height without end. Colours are those of the CIE
 * 1931 2° observer, 360–830 nm, brought onto the screen as `srgb` says. The spectrum is summed in
 * steps of 1 nm or less; the fast sum agrees with the plain one to 1e-6 of the maximum.
 *
 * Exposure is counted from the middle, s = 0, in every light alike: of the colour there the strongest of
 * the three linear sRGB channels, c₀, comes to `exposure`, and c elsewhere to
 *
 *   m = exposure · c/c₀, shown as min(1, m)
 *
 * so that at 1 the middle just fills the film and a weak line shows in its true proportion. Where m is
 * above 1 the strip is burnt out.
 *
 * @param aperture what stands in the beam, such as slits(2, { width: 40e-6, spacing: 100e-6 })
 * @param light such as sunlight(); keep the object, since its tables are made once for each
 * @param options geometry, exposure and scale; see FilmStripOptions
 * @returns positions (m), s, XYZ and total relative to s = 0, sRGB after exposure, where it is burnt out, one sentence
 * @throws RangeError, TypeError for options out of range, an unsound aperture or an empty light
 * @example filmStrip(slits(1, { width: 40e-6 }), sunlight()).srgb.length // 3603
 */
export function filmStrip(
  aperture: Aperture,
  light: Light,
  options: FilmStripOptions = {},
): FilmStrip {
  const { checked, boxes, prepared } = exposed(aperture, light, options);
  const { positions, s } = filmGeometry(checked);
  const half = checked.incidence === 0 && isEven(aperture);
  const sines = half ? s.subarray(s.length >> 1) : s;
  const xyz = laidOut(relativePattern(aperture, prepared.colour, sines, boxes), s.length);
  const balance = whiteBalance(light, checked.whiteBalance);
  const { srgb, burntOut } = develop(xyz, middleOf(aperture, light, boxes), checked, balance);
  let [total, alt]: [Float64Array?, string?] = [];
  return {
    positions,
    s,
    xyz,
    srgb,
    burntOut,
    // Worked out when first read: a strip redrawn while a slider moves shows neither.
    get total() {
      total ??= laidOut(relativePattern(aperture, prepared.power, sines, boxes), s.length).filter(
        (_, i) => i % 3 === 1,
      );
      return total;
    },
    ...(light.caution && { caution: light.caution }),
    get alt() {
      alt ??= describeStrip(aperture, light, { positions, xyz, burntOut }, checked);
      return alt;
    },
  };
}

/**
 * X, Y, Z at single places on the film, as `filmStrip` has them along the whole.
 *
 * @param positions places, m, ascending; 0 is the image of the source slit
 * @param options geometry, source slit and blur as of `filmStrip`; what concerns the picture alone is not used
 * @returns X, Y, Z of each place, interleaved, relative to Y = 1 at s = 0
 * @throws RangeError, TypeError as `filmStrip`
 * @example filmAt(slits(2, { width: 40e-6, spacing: 100e-6 }), sunlight(), Float64Array.of(0))[1] // 1
 */
export function filmAt(
  aperture: Aperture,
  light: Light,
  positions: Float64Array,
  options: FilmStripOptions = {},
): Float64Array {
  const { checked, boxes, prepared } = exposed(aperture, light, options);
  const s = positions.map((x) => sineAt(x, checked.focalLength, checked.incidence));
  // At a dark fringe the table's last digit may fall below 0.
  return relativePattern(aperture, prepared.colour, s, boxes).map((value) => Math.max(0, value));
}

/** What every record on film starts from: options with their defaults, the boxes of its blur, the light's tables. */
function exposed(aperture: Aperture, light: Light, options: FilmStripOptions) {
  runs(aperture); // Refuses an unsound aperture before its widths are read.
  const checked = stripOptions(aperture, options);
  return { checked, boxes: blurBoxes(checked, aperture), prepared: prepare(light) };
}

/** A pattern along the whole strip; the left half is the right one's mirror image if only that is there. */
function laidOut(pattern: Float64Array, points: number): Float64Array {
  const out = new Float64Array(3 * points);
  const skipped = 3 * points - pattern.length;
  for (let o = 0, at = skipped; o < pattern.length; o += 3, at += 3) {
    const mirror = 3 * points - 3 - at;
    for (let c = 0; c < 3; c++) {
      // At a dark fringe the table's last digit may fall below 0.
      const value = Math.max(0, pattern[o + c]);
      out[at + c] = value;
      if (mirror < skipped) out[mirror + c] = value;
    }
  }
  return out;
}

/** X, Y, Z at s = 0: those of the light, unless the record runs together. */
function middleOf(aperture: Aperture, light: Light, boxes: readonly number[]): XYZ {
  if (boxes.length === 0) return lightXyz(light);
  const [x, y, z] = relativePattern(aperture, prepare(light).colour, new Float64Array(1), boxes);
  return [x, y, z];
}

const balances = new WeakMap<Light, Adaptation>();

/** The camera's white balance: on the light where that is white, or as told. */
function whiteBalance(light: Light, setting: 'auto' | 'light' | 'D65'): Adaptation | undefined {
  if (setting === 'D65' || (setting === 'auto' && !isWhite(light))) return undefined;
  const adaptation = balances.get(light) ?? adaptationFrom(lightXyz(light));
  balances.set(light, adaptation);
  return adaptation;
}
