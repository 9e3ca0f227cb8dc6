import { cosPi, sinPi } from '../numerics/sin-pi';
import { sinc, sincCurvature, sincSlope } from '../numerics/sinc';
import type { Slit } from './aperture';
import { asComplex } from './complex';

/** |F|² and its derivatives by u = s/λ. */
export interface Slopes {
  power: number;
  slope: number;
  curvature: number;
  /** |F|, |F′| and |F″|, which tell how far away the nearest zeros of F may lie. */
  size: number;
  size1: number;
  size2: number;
}

/**
 * |F|² at u with its first two derivatives, slit by slit, each with the product rule on its sinc and its
 * phase factor. The origin is put into the middle of the aperture, which leaves |F| as it is.
 *
 * @param slits the slits
 * @param middle middle of the aperture, m
 * @param u s/λ, 1/m
 * @param out filled and returned
 */
export function slopesInto(out: Slopes, slits: readonly Slit[], middle: number, u: number): Slopes {
  let [re, im, re1, im1, re2, im2] = [0, 0, 0, 0, 0, 0];
  for (const { centre, width, transmission } of slits) {
    const t = asComplex(transmission);
    const k = 2 * Math.PI * (centre - middle);
    const b = Math.PI * width;
    // Wavelet w = a sinc(bu) · t exp(−iku); with g = a sinc(bu): w′ = (g′ − ik g) …, w″ = (g″ − 2ik g′ − k² g) …
    const g = width * sinc(b * u);
    const g1 = width * b * sincSlope(b * u);
    const g2 = width * b * b * sincCurvature(b * u) - k * k * g;
    const cos = cosPi(2 * (centre - middle) * u);
    const sin = sinPi(2 * (centre - middle) * u);
    const pRe = t.re * cos + t.im * sin;
    const pIm = t.im * cos - t.re * sin;
    re += g * pRe;
    im += g * pIm;
    re1 += g1 * pRe + k * g * pIm;
    im1 += g1 * pIm - k * g * pRe;
    re2 += g2 * pRe + 2 * k * g1 * pIm;
    im2 += g2 * pIm - 2 * k * g1 * pRe;
  }
  out.power = re * re + im * im;
  out.slope = 2 * (re * re1 + im * im1);
  out.curvature = 2 * (re1 * re1 + im1 * im1 + re * re2 + im * im2);
  out.size = Math.hypot(re, im);
  out.size1 = Math.hypot(re1, im1);
  out.size2 = Math.hypot(re2, im2);
  return out;
}
