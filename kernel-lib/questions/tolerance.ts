import type { NumberRead } from './read-number';
import type { Tolerance } from './sheet';

/** The half-width around a value within which an answer counts as that value. `size` sets the scale of a relative one. */
function halfWidth(tolerance: Tolerance, size: number, u: number): number {
  if ('absolute' in tolerance) return tolerance.absolute;
  if ('relative' in tolerance) return tolerance.relative * Math.abs(size);
  return tolerance.uncertainties * u;
}

/** Rounding in the last places never decides. */
const rounding = 1e-12;

/**
 * How far an answer lies from a target, in half-widths of the tolerance: 1 or less is near enough.
 * Infinity when the tolerance has no width and they differ; NaN when the target is NaN.
 */
export function distanceFrom(
  read: NumberRead,
  target: number,
  tolerance: Tolerance,
  size: number = target,
): number {
  const width = halfWidth(tolerance, size, read.u ?? 0) + rounding * Math.abs(target);
  const distance = Math.abs(read.value - target);
  return distance === 0 ? 0 : distance / width;
}
