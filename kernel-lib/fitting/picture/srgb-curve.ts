/**
 * Linear value of an sRGB code: what the camera's curve is undone with.
 *
 *   v ≤ 0.04045: v/12.92, else ((v + 0.055)/1.055)^2.4
 *
 * @param code 0…1 (code value divided by full scale)
 * @returns 0…1, proportional to irradiance if the camera keeps to the standard
 * @see IEC 61966-2-1 (cited from memory)
 * @example linearFromSrgb(0.5445483) // 0.2576
 */
export function linearFromSrgb(code: number): number {
  return code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4;
}

/**
 * sRGB code of a linear value, both 0…1: the inverse of `linearFromSrgb`.
 *
 * @see IEC 61966-2-1 (cited from memory)
 * @example srgbFromLinear(0.2576) // 0.5445
 */
export function srgbFromLinear(linear: number): number {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
}
