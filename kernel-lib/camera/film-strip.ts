import type { Aperture } from '../aperture/aperture';
import { runs } from '../aperture/runs';
import type { Light } from '../light/light';
import { type Adaptation, adaptationFrom, isWhite } from '../light/white-balance';
import { xyz as lightXyz } from '../light/xyz';
import { describeStrip } from './describe-strip';
import { develop } from './develop';
import type { FilmStrip } from './film';
import { blurBoxes, filmGeometry } from './film-geometry';
import { type LightTables, prepare } from './prepared-light';
import { type FilmStripOptions, stripOptions } from './strip-options';
import { isEven, whitePattern } from './white-pattern';

/**
 * What a camera records behind an aperture in any light: colour against position.
 *
 *   XYZ(x) ∝ ∫ w(λ) (x̄, ȳ, z̄)(λ) I(s/λ) dλ, x = f tan(θ − θi), s = sin θ − sin θi
 *
 * Far field (Fraunhofer), scalar, the aperture's height without end. Colours are those of the CIE
 * 1931 2° observer, 360–830 nm, brought onto the screen as `srgb` says. The spectrum is summed in
 * steps of 1 nm or less; the fast sum agrees with the plain one to 1e-6 of the maximum.
 *
 * @param aperture what stands in the beam, such as slits(2, { width: 40e-6, spacing: 100e-6 })
 * @param light such as sunlight(); keep the object, since its tables are made once for each
 * @param options geometry, exposure and scale; see FilmStripOptions
 * @returns positions (m), s, XYZ and total relative to s = 0, sRGB after exposure, one sentence
 * @throws RangeError, TypeError for options out of range, an unsound aperture or an empty light
 * @example filmStrip(slits(1, { width: 40e-6 }), sunlight()).srgb.length // 3600
 */
export function filmStrip(
  aperture: Aperture,
  light: Light,
  options: FilmStripOptions = {},
): FilmStrip {
  runs(aperture); // Refuses an unsound aperture before its widths are read.
  const checked = stripOptions(aperture, options);
  const { positions, s } = filmGeometry(checked);
  const boxes = blurBoxes(checked, aperture);
  const half = checked.incidence === 0 && isEven(aperture);
  const sines = half ? s.subarray(s.length >> 1) : s;
  const prepared = prepare(light);
  const xyz = laidOut(patternAlong(aperture, prepared.colour, sines, boxes), s.length);
  const srgb = develop(xyz, checked, whiteBalance(light, checked.whiteBalance));
  let [total, alt]: [Float64Array?, string?] = [];
  return {
    positions,
    s,
    xyz,
    srgb,
    // Worked out when first read: a strip redrawn while a slider moves shows neither.
    get total() {
      total ??= laidOut(patternAlong(aperture, prepared.power, sines, boxes), s.length).filter(
        (_, i) => i % 3 === 1,
      );
      return total;
    },
    ...(light.caution && { caution: light.caution }),
    get alt() {
      alt ??= describeStrip(aperture, light, { positions, xyz }, checked);
      return alt;
    },
  };
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

/** The pattern relative to its own value at s = 0, blurred or not. */
function patternAlong(
  aperture: Aperture,
  light: LightTables,
  s: Float64Array,
  boxes: readonly number[],
): Float64Array {
  const pattern = whitePattern(aperture, light, s, boxes);
  if (boxes.length === 0) return pattern;
  const [, ahead] = whitePattern(aperture, light, new Float64Array(1), boxes);
  return pattern.map((value) => value / ahead);
}

const balances = new WeakMap<Light, Adaptation>();

/** The camera's white balance: on the light where that is white, or as told. */
function whiteBalance(light: Light, setting: 'auto' | 'light' | 'D65'): Adaptation | undefined {
  if (setting === 'D65' || (setting === 'auto' && !isWhite(light))) return undefined;
  const adaptation = balances.get(light) ?? adaptationFrom(lightXyz(light));
  balances.set(light, adaptation);
  return adaptation;
}
