import { cosPi, sinPi } from './sinc';

/** The two Fresnel integrals at one point. */
export interface FresnelIntegrals {
  readonly c: number;
  readonly s: number;
}

/**
 * Fresnel's integrals, with the π/2 that optics uses: the coordinates of a point on Cornu's spiral.
 *
 *   C(v) = ∫₀ᵛ cos(πt²/2) dt,  S(v) = ∫₀ᵛ sin(πt²/2) dt
 *
 * @param v any number; v is also the length of the spiral from the origin
 * @returns { c, s }, each odd in v, tending to ±1/2
 * @see NIST Digital Library of Mathematical Functions, 7.2(iii) for the definition; Abramowitz and Stegun
 *   7.3.11 and 7.3.13 for the series, 7.3.22 with 7.1.14 for the fraction (numbers as other libraries give them)
 * @example fresnelIntegrals(1).c // 0.7798934003768229
 */
export function fresnelIntegrals(v: number): FresnelIntegrals {
  const out = { c: 0, s: 0 };
  fresnelInto(out, v);
  return out;
}

/** The same, written into an object that exists already: near fields ask for many. */
export function fresnelInto(out: { c: number; s: number }, v: number): void {
  const x = Math.abs(v);
  if (x < 1.6) powerSeries(out, x);
  else if (x < 1e8) continuedFraction(out, x);
  else out.c = out.s = Number.isNaN(x) ? NaN : 0.5;
  if (v < 0) {
    out.c = -out.c;
    out.s = -out.s;
  }
}

/** Σ of the integrals of the Taylor series of cos and sin: terms alternate between C and S. */
function powerSeries(out: { c: number; s: number }, x: number): void {
  const quarterTurns = (Math.PI / 2) * x * x;
  let term = x;
  let c = x;
  let s = 0;
  for (let n = 1; Math.abs(term) > 1e-18 * x; n++) {
    term *= quarterTurns / n;
    const part = term / (2 * n + 1);
    // +1, +i, −1, −i …: the powers of i tell which integral gets the term and with what sign.
    if (n % 2 === 1) s += n % 4 === 1 ? part : -part;
    else c += n % 4 === 0 ? part : -part;
  }
  out.c = c;
  out.s = s;
}

/**
 * C + iS = (1 + i)/2 · erf(z), z = (1 − i)√π x/2, with erfc(z) as a continued fraction, summed by
 * Steed's method: D and the change of the value are kept, both complex.
 */
function continuedFraction(out: { c: number; s: number }, x: number): void {
  // The even part of the fraction: 1/(b −) 1·2/(b + 4 −) 3·4/(b + 8 −) …, b = 1 + 2z² = 1 − iπx².
  let bRe = 1;
  const bIm = -Math.PI * x * x;
  let [dRe, dIm] = reciprocal(bRe, bIm);
  let hRe = dRe;
  let hIm = dIm;
  let changeRe = dRe;
  let changeIm = dIm;
  for (let n = 1; n < 400; n += 2) {
    bRe += 4;
    const a = -n * (n + 1);
    [dRe, dIm] = reciprocal(bRe + a * dRe, bIm + a * dIm);
    // change *= b·d − 1
    const fRe = bRe * dRe - bIm * dIm - 1;
    const fIm = bRe * dIm + bIm * dRe;
    [changeRe, changeIm] = [changeRe * fRe - changeIm * fIm, changeRe * fIm + changeIm * fRe];
    hRe += changeRe;
    hIm += changeIm;
    if (Math.abs(changeRe) + Math.abs(changeIm) < 1e-17 * (Math.abs(hRe) + Math.abs(hIm))) break;
  }
  // C + iS = (1 + i)/2 · (1 − e^{iπx²/2} (x − ix) h)
  const gRe = x * (hRe + hIm);
  const gIm = x * (hIm - hRe);
  const cos = cosPi((x * x) / 2);
  const sin = sinPi((x * x) / 2);
  const re = 1 - (cos * gRe - sin * gIm);
  const im = -(cos * gIm + sin * gRe);
  out.c = (re - im) / 2;
  out.s = (re + im) / 2;
}

function reciprocal(re: number, im: number): [number, number] {
  const square = re * re + im * im;
  return [re / square, -im / square];
}
