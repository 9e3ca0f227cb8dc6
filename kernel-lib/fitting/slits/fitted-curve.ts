import { requirePositive } from '../../numerics/require';
import type { FittedSlits } from './fit-slits';
import { type SlitGeometry, SlitModel } from './slit-model';

/**
 * The curve that `fitSlits` found, as a function of position: what `fitPlot` draws through the points.
 *
 *   y(x) = B + G (x − x₀) + A ⟨sinc²(π a s/λ) F(2π d s/λ)⟩, averaged over the blur: see `SlitModel`
 *
 * @param fit what `fitSlits` returned
 * @param geometry wavelength and focalLength (m) as they were given to `fitSlits`
 * @returns signal at x (m, or direction sine without focalLength), in the unit of the profile
 * @throws RangeError when the wavelength or the focal length is not positive
 * @example
 * const geometry = { wavelength: nm(546.1), focalLength: 0.5 };
 * const profile = slitProfile(seeded(1), { count: 1, width: um(40), spacing: um(100), ...geometry });
 * const fit = fitSlits(profile, { ...geometry, count: 1, fixed: { blur: 0 } });
 * fittedCurve(fit, geometry)(fit.centre.value) / (fit.background.value + fit.amplitude.value) // 1.000
 */
export function fittedCurve(fit: FittedSlits, geometry: SlitGeometry): (x: number) => number {
  const { wavelength, focalLength } = geometry;
  requirePositive('The wavelength', wavelength, 'give it in metres, such as nm(546.1)');
  if (focalLength !== undefined)
    requirePositive('The focal length', focalLength, 'give it in metres');
  const { count, blurShape, blur, slope } = fit;
  const { width, amplitude, background, centre, spacing } = fit;
  const parameters = [width, amplitude, background, centre].map(({ value }) => value);
  parameters.push(count === 1 ? 0 : spacing.value);
  // With a blur the contrast is what the blur leaves; without, it is a parameter.
  parameters.push(blurShape ? 1 : fit.visibility.value, blur.value * Math.abs(blur.value));
  parameters.push(slope.value);
  const place = new Float64Array(1);
  const signal = new Float64Array(1);
  const one = Float64Array.of(1);
  const model = new SlitModel(place, count, { wavelength, focalLength }, blurShape);
  return (x) => {
    place[0] = x;
    model.evaluate(parameters, one, signal);
    return signal[0];
  };
}
