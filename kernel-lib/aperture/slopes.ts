import { cosPi, sinc, sincCurvature, sincSlope, sinPi } from '../numerics/sinc';

import type { Slit } from './aperture';
import { asComplex } from './complex';

/** |F|² at u = s/λ and its derivatives by u. */
export interface Slopes {
  readonly u: number;
  readonly power: number;
  readonly slope: number;
  readonly curvature: number;
  /** |F|, |F′| and |F″|, which tell how far away the nearest zeros of F may lie. */
  readonly size: number;
  readonly size1: number;
  readonly size2: number;
}

/**
 * |F|² with its first two derivatives, slit by slit, each with the product rule on its sinc and its phase
 * factor: with g = a sinc(πau) and k = 2πc
 *
 *   w = t g exp(−iku),  w′ = t (g′ − ik g) exp(−iku),  w″ = t (g″ − 2ik g′ − k² g) exp(−iku)
 *
 * @param slits the slits
 * @param middle middle of the aperture, m; the origin is put there, which leaves |F| as it is
 * @returns a function of u = s/λ, 1/m
 */
export function slopesOf(slits: readonly Slit[], middle: number): (u: number) => Slopes {
  const parts = slits.map(({ centre, width, transmission }) => {
    return { centre: centre - middle, width, ...asComplex(transmission) };
  });
  return (u) => {
    let [re, im, re1, im1, re2, im2] = [0, 0, 0, 0, 0, 0];
    for (let i = 0; i < parts.length; i++) {
      const part = parts[i];
      const k = 2 * Math.PI * part.centre;
      const b = Math.PI * part.width;
      const x = b * u;
      const clear = Math.abs(x) > 0.3;
      const f = clear ? sinPi(part.width * u) / x : sinc(x);
      const f1 = clear ? (cosPi(part.width * u) - f) / x : sincSlope(x);
      const f2 = clear ? -f - (2 * f1) / x : sincCurvature(x);
      const g = part.width * f;
      const g1 = part.width * b * f1;
      const g2 = part.width * b * b * f2 - k * k * g;
      const cos = cosPi(2 * part.centre * u);
      const sin = sinPi(2 * part.centre * u);
      const pRe = part.re * cos + part.im * sin;
      const pIm = part.im * cos - part.re * sin;
      re += g * pRe;
      im += g * pIm;
      re1 += g1 * pRe + k * g * pIm;
      im1 += g1 * pIm - k * g * pRe;
      re2 += g2 * pRe + 2 * k * g1 * pIm;
      im2 += g2 * pIm - 2 * k * g1 * pRe;
    }
    return {
      u,
      power: re * re + im * im,
      slope: 2 * (re * re1 + im * im1),
      curvature: 2 * (re1 * re1 + im1 * im1 + re * re2 + im * im2),
      size: Math.sqrt(re * re + im * im),
      size1: Math.sqrt(re1 * re1 + im1 * im1),
      size2: Math.sqrt(re2 * re2 + im2 * im2),
    };
  };
}
