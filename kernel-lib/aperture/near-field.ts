import { fresnelInto } from '../numerics/fresnel-integrals';
import { requireNumbers, requirePositive } from '../numerics/require';
import { requireWavelength } from './amplitude';
import { type Aperture, asComplex, soundAperture } from './aperture';

/** How the aperture is lit. */
export interface NearFieldOptions {
  /** Distance of a narrow source slit before the aperture, m; Infinity (a parallel beam) unless told. */
  readonly sourceDistance?: number;
}

/**
 * Irradiance behind the aperture at any distance (Fresnel diffraction), relative to that without aperture.
 * Each slit adds the step along Cornu's spiral between its two edges:
 *
 *   I(x) = ½ |Σ tⱼ (K(vⱼ₂) − K(vⱼ₁))|²,  K(v) = C(v) + i S(v),  v = (edge − x/M) √(2 / λL)
 *   1/L = 1/z + 1/z₀,  M = 1 + z/z₀
 *
 * with z₀ the distance of the source: its beam widens the shadow M times. Far away it tends to
 * |F(s)|²/(λL) with s = x/z, the Fraunhofer pattern.
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param distance z from the aperture to the screen, m
 * @param x places on the screen, m; 0 is opposite the origin of the aperture
 * @param options `sourceDistance` z₀, m
 * @returns relative irradiances, one for each x; 1 in the open, 1/4 at a straight edge
 * @throws RangeError, TypeError for an unsound aperture, distances not above 0, places not finite
 * @see paraxial: angles small enough that sin θ ≈ tan θ ≈ θ. Common practice, no source
 * @example nearField(slits(1, { width: 1e-3 }), 500e-9, 1, [0])[0] // 1.6006095924452883
 */
export function nearField(
  aperture: Aperture,
  wavelength: number,
  distance: number,
  x: ArrayLike<number>,
  options: NearFieldOptions = {},
): Float64Array {
  const { slits } = soundAperture(aperture);
  const { length, magnification } = geometry(distance, options);
  const scale = Math.sqrt(2 / (requireWavelength(wavelength) * length));
  requireNumbers('x', x, 'give places on the screen in metres, such as [0, 1e-3]');
  const list = slits.map(({ centre, width, transmission }) => {
    return { left: centre - width / 2, right: centre + width / 2, ...asComplex(transmission) };
  });

  const irradiance = new Float64Array(x.length);
  const start = { c: 0, s: 0 };
  const end = { c: 0, s: 0 };
  for (let i = 0; i < x.length; i++) {
    const ray = x[i] / magnification;
    let sumRe = 0;
    let sumIm = 0;
    for (const { left, right, re, im } of list) {
      fresnelInto(start, (left - ray) * scale);
      fresnelInto(end, (right - ray) * scale);
      const c = end.c - start.c;
      const s = end.s - start.s;
      sumRe += re * c - im * s;
      sumIm += re * s + im * c;
    }
    irradiance[i] = (sumRe * sumRe + sumIm * sumIm) / 2;
  }
  return irradiance;
}

/**
 * Fresnel number of an aperture: how many half-wave zones it shows. The far-field formula holds where it is
 * well below 1, the shadow is sharp where it is large.
 *
 *   F = w² / (λ L),  1/L = 1/z + 1/z₀,  w: half the distance between the outermost edges
 *
 * @param aperture the slits
 * @param wavelength λ, m
 * @param distance z from the aperture to the screen, m
 * @param options `sourceDistance` z₀, m
 * @returns a pure number above 0
 * @throws RangeError, TypeError as `nearField`
 * @see common practice, no source; some texts take the whole width, which makes it 4 times as large
 * @example fresnelNumber(slits(1, { width: 2e-3 }), 500e-9, 2) // 1
 */
export function fresnelNumber(
  aperture: Aperture,
  wavelength: number,
  distance: number,
  options: NearFieldOptions = {},
): number {
  const { slits } = soundAperture(aperture);
  const { length } = geometry(distance, options);
  const [first, last] = [slits[0], slits[slits.length - 1]];
  const half = (last.centre + last.width / 2 - first.centre + first.width / 2) / 2;
  return (half * half) / (requireWavelength(wavelength) * length);
}

function geometry(distance: number, options: NearFieldOptions) {
  const { sourceDistance = Infinity } = options ?? {};
  requirePositive('The distance to the screen', distance, 'give it in metres');
  if (sourceDistance !== Infinity) {
    requirePositive('The source distance', sourceDistance, 'give it in metres, or Infinity');
  }
  return {
    length: 1 / (1 / distance + 1 / sourceDistance),
    magnification: 1 + distance / sourceDistance,
  };
}
