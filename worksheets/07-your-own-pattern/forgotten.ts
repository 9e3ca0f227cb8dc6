import { fitSlits, type PictureProfileOptions, pictureProfile } from 'multislit';
import { benchOf, camera, fittedPixel, type Given, rows } from './given';

/** Width that the fit gives, the photograph read with these options; the bench is where it starts. */
function widthWith(given: Given, options: Partial<PictureProfileOptions>): number {
  const { vignetting, wavelength, distance: focalLength } = given;
  const { count, width, spacing, pixel } = benchOf(given);
  const profile = pictureProfile(given.photograph, {
    ...{ pixel: fittedPixel(given).value, band: rows, channel: 'red', tilt: 0, vignetting },
    ...options,
  });
  const centre = (profile.x.length / 2) * pixel;
  const { visibility, background } = camera;
  const start = { width, spacing, centre, visibility, background, amplitude: 1 };
  return fitSlits(profile, { wavelength, focalLength, count, start, light: 'even' }).width.value;
}

const known = new WeakMap<Given, number>();

/** By what share the width comes out too large when the camera's codes are taken for light as they are. */
export function forgottenCurve(given: Given): number {
  const before = known.get(given);
  if (before !== undefined) return before;
  const share = widthWith(given, { curve: 'linear' }) / widthWith(given, {}) - 1;
  known.set(given, share);
  return share;
}
