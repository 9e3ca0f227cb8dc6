/**
 * Oklab (Björn Ottosson, 2020; matrices as in CSS Color 4): cone-like responses, their cube roots,
 * and from these lightness L and two opponent axes a, b. Equal angle of (a, b): equal hue to the eye.
 */

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
export function coneRoots(x: number, y: number, z: number, out: Float64Array): void {
  out[0] = Math.cbrt(TO_LMS[0] * x + TO_LMS[1] * y + TO_LMS[2] * z);
  out[1] = Math.cbrt(TO_LMS[3] * x + TO_LMS[4] * y + TO_LMS[5] * z);
  out[2] = Math.cbrt(TO_LMS[6] * x + TO_LMS[7] * y + TO_LMS[8] * z);
}

/** Oklab's lightness from the cube roots: a grey of the same lightness has all three roots equal to it. */
export function lightness(roots: Float64Array): number {
  return TO_LAB[0] * roots[0] + TO_LAB[1] * roots[1] + TO_LAB[2] * roots[2];
}
