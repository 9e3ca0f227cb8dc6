import type { Complex } from './aperture';

/** A transmission as a complex amplitude: plain numbers are real. */
export function asComplex(value: number | Complex): Complex {
  return typeof value === 'number' ? { re: value, im: 0 } : value;
}
