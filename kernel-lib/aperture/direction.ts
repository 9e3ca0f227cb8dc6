import { requireFinite } from '../numerics/require';

/**
 * Direction sine of a diffracted beam, the coordinate of every far-field pattern here.
 *
 *   s = sin θ − sin θi
 *
 * @param angle θ from the normal of the aperture, rad, −π/2…π/2
 * @param incidence θi of the incident beam, rad, same sense; 0 unless told
 * @returns s, −2…2; 0 is the direction of the incident beam
 * @throws RangeError, TypeError for angles not finite or beyond ±π/2
 * @example directionSine(Math.PI / 6) // 0.49999999999999994
 */
export function directionSine(angle: number, incidence = 0): number {
  return Math.sin(requireAngle('angle', angle)) - Math.sin(requireAngle('incidence', incidence));
}

/**
 * Angle of a diffracted beam from the normal of the aperture.
 *
 *   θ = arcsin(s + sin θi)
 *
 * @param s direction sine
 * @param incidence θi, rad; 0 unless told
 * @returns θ, rad, −π/2…π/2
 * @throws RangeError when |s + sin θi| > 1: no beam leaves in such a direction
 * @example diffractionAngle(0.5) // 0.5235987755982989
 */
export function diffractionAngle(s: number, incidence = 0): number {
  requireFinite('The direction sine s', s, 'give sin θ − sin θi');
  const sine = s + Math.sin(requireAngle('incidence', incidence));
  // m λ/d may miss 1 by rounding.
  if (Math.abs(sine) <= 1 + 1e-12) return Math.asin(Math.max(-1, Math.min(1, sine)));
  throw new RangeError(
    `No angle belongs to s = ${s}: sin θ = s + sin θi would be ${sine}, and a sine lies from −1 to 1. ` +
      'Take a smaller s, a lower order, a shorter wavelength or a wider spacing.',
  );
}

function requireAngle(name: string, angle: number): number {
  requireFinite(`The ${name}`, angle, 'give it in radians');
  if (Math.abs(angle) <= Math.PI / 2) return angle;
  throw new RangeError(
    `The ${name} must lie from −π/2 to π/2 rad, but ${angle} was given: ` +
      'turn degrees into radians with degrees(…).',
  );
}

/** What s = sin θ − sin θi may miss its ends −2 and 2 by, through rounding. */
const slack = 1e-12;

/** Passes a direction sine through. @throws RangeError where no light can go */
export function requireDirection(s: number): number {
  requireFinite('The direction sine s', s, 'give sin θ − sin θi');
  if (Math.abs(s) <= 2 + slack) return s;
  throw new RangeError(
    `No direction has s = ${s}: s = sin θ − sin θi lies from −2 to 2. Was it an angle in degrees? ` +
      'Give directionSine(degrees(…)). A place on a screen? Give x / Math.hypot(x, f).',
  );
}
