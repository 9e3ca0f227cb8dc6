import { requireFinite } from '../numerics/require';

/** A number, or a sentence that says which helper got what. */
const numberFor = (name: string, value: number, example: string) =>
  requireFinite(`What ${name}(…) takes`, value, `write it as in ${example}`);

/**
 * Metres, for symmetry with the other lengths.
 *
 * @param value length, m
 * @returns the same length, m
 * @throws TypeError, RangeError when the value is not a finite number
 * @example m(1.5) // 1.5
 */
export function m(value: number): number {
  return numberFor('m', value, 'm(1.5)');
}

/**
 * Centimetres to metres.
 *
 * @param value length, cm
 * @returns the length, m
 * @throws TypeError, RangeError when the value is not a finite number
 * @example cm(20) // 0.2
 */
export function cm(value: number): number {
  return numberFor('cm', value, 'cm(20)') / 100;
}

/**
 * Millimetres to metres.
 *
 * @param value length, mm
 * @returns the length, m
 * @throws TypeError, RangeError when the value is not a finite number
 * @example mm(0.1) // 0.0001
 */
export function mm(value: number): number {
  return numberFor('mm', value, 'mm(0.1)') / 1e3;
}

/**
 * Micrometres to metres.
 *
 * @param value length, µm
 * @returns the length, m
 * @throws TypeError, RangeError when the value is not a finite number
 * @example um(40) // 0.00004
 */
export function um(value: number): number {
  return numberFor('um', value, 'um(40)') / 1e6;
}

/**
 * Nanometres to metres.
 *
 * @param value length, nm
 * @returns the length, m
 * @throws TypeError, RangeError when the value is not a finite number
 * @example nm(550) // 5.5e-7
 */
export function nm(value: number): number {
  return numberFor('nm', value, 'nm(632.8)') / 1e9;
}

/**
 * Lines per millimetre to lines per metre.
 *
 * @param value number per millimetre, 1/mm
 * @returns number per metre, 1/m
 * @throws TypeError, RangeError when the value is not a finite number
 * @example perMillimetre(600) // 600000
 */
export function perMillimetre(value: number): number {
  return numberFor('perMillimetre', value, 'perMillimetre(600)') * 1e3;
}

/**
 * Degrees, minutes and seconds of arc to radians. A minus sign, also that of -0, holds for all three.
 *
 *   angle = (degrees + minutes/60 + seconds/3600) π/180
 *
 * @param value degrees, with decimals if no minutes follow
 * @param minutes minutes of arc, 0 to below 60
 * @param seconds seconds of arc, 0 to below 60
 * @returns the angle, rad
 * @throws TypeError, RangeError when an argument is not a finite number, or minutes or seconds lie outside 0 to below 60
 * @example degrees(12, 34, 56) // 0.219601…
 */
export function degrees(value: number, minutes = 0, seconds = 0): number {
  const example = 'degrees(12, 34, 56)';
  for (const part of [value, minutes, seconds]) numberFor('degrees', part, example);
  for (const [name, part] of Object.entries({ minutes, seconds })) {
    if (part >= 0 && part < 60) continue;
    throw new RangeError(
      `The ${name} in degrees(${value}, ${minutes}, ${seconds}) are ${part}; they go from 0 to below 60. A sign belongs to the degrees.`,
    );
  }
  const negative = value < 0 || Object.is(value, -0);
  const size = ((Math.abs(value) * 3600 + minutes * 60 + seconds) / 648000) * Math.PI;
  return negative && size > 0 ? -size : size;
}

/**
 * Minutes of arc to radians.
 *
 * @param value minutes of arc
 * @returns the angle, rad
 * @throws TypeError, RangeError when the value is not a finite number
 * @example arcminutes(60) // 0.0174532925…
 */
export function arcminutes(value: number): number {
  return (numberFor('arcminutes', value, 'arcminutes(20)') / 10800) * Math.PI;
}

/**
 * Seconds of arc to radians.
 *
 * @param value seconds of arc
 * @returns the angle, rad
 * @throws TypeError, RangeError when the value is not a finite number
 * @example arcseconds(3600) // 0.0174532925…
 */
export function arcseconds(value: number): number {
  return (numberFor('arcseconds', value, 'arcseconds(30)') / 648000) * Math.PI;
}

/**
 * Milliradians to radians.
 *
 * @param value angle, mrad
 * @returns the angle, rad
 * @throws TypeError, RangeError when the value is not a finite number
 * @example mrad(13.75) // 0.01375
 */
export function mrad(value: number): number {
  return numberFor('mrad', value, 'mrad(13.75)') / 1e3;
}
