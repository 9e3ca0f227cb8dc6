/** Slits and light of a made-up record, SI units. */
export interface BrutePattern {
  readonly count: number;
  readonly width: number;
  readonly spacing: number;
  readonly wavelength: number;
  readonly focalLength: number;
  readonly centre: number;
  /** What is left of neighbouring slits' fringes. */
  readonly visibility: number;
  readonly shape: 'box' | 'gaussian';
}

/** Full width, in periods, of the blur that leaves fringes this visibility: by halving the interval. */
function widthLeaving(visibility: number, shape: BrutePattern['shape']): number {
  if (shape === 'gaussian') return Math.sqrt(-4 * Math.LN2 * Math.log(visibility)) / Math.PI;
  let [low, high] = [0, 1];
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2;
    if (Math.sin(Math.PI * middle) / (Math.PI * middle) > visibility) low = middle;
    else high = middle;
  }
  return low;
}

/**
 * The textbook's pattern of N slits, (sin Nα/N sin α)² sinc² β, averaged with equal steps over the points of a source: nothing
 * of the library takes part.
 */
export function brutePattern(x: Float64Array, pattern: BrutePattern, points = 120): Float64Array {
  const { count, width, spacing, wavelength, focalLength, centre, visibility, shape } = pattern;
  const blur = (widthLeaving(visibility, shape) * wavelength) / spacing;
  const steps = visibility === 1 ? 1 : points;
  const reach = shape === 'box' ? 1 : 5;
  return x.map((place) => {
    const middle = (place - centre) / Math.hypot(place - centre, focalLength);
    let [sum, total] = [0, 0];
    for (let k = 0; k < steps; k++) {
      const t = reach * ((2 * (k + 0.5)) / steps - 1);
      const weight = shape === 'box' ? 1 : 2 ** -(t * t);
      const s = middle + (t * blur) / 2;
      const [beta, alpha] = [width, spacing].map((length) => (Math.PI * length * s) / wavelength);
      const one = Math.abs(beta) < 1e-9 ? 1 : Math.sin(beta) / beta;
      const many =
        Math.abs(Math.sin(alpha)) < 1e-7 ? 1 : Math.sin(count * alpha) / (count * Math.sin(alpha));
      sum += weight * (one * many) ** 2;
      total += weight;
    }
    return sum / total;
  });
}
