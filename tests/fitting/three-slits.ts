import { encodePicture, slitPicture } from '../../kernel-lib/fitting/slits/slit-picture';
import { seeded } from '../../kernel-lib/numerics/random';

/** The slits and the camera of data/three-slits.png; data/SOURCES.md prints the same numbers. */
export const threeSlits = {
  count: 3,
  slitWidth: 40e-6,
  spacing: 100e-6,
  wavelength: 546.1e-9,
  focalLength: 0.5,
  width: 720,
  height: 220,
  pixel: 20e-6,
  tilt: 0.03,
  exposure: 1.5,
  background: 0.015,
  visibility: 0.9,
  vignetting: 0.15,
  litHeight: 0.6,
  colour: [0.22, 1, 0.06],
} as const;

/** The computed photograph, as a PNG file. */
export function threeSlitsPicture(): Uint8Array {
  return encodePicture(slitPicture(seeded('three slits'), threeSlits));
}
