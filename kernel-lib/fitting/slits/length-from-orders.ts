import { requireNotNegative, requireNumbers } from '../../numerics/require';
import { correlated } from '../../quantity/correlated';
import {
  combine,
  isMeasured,
  type Measurable,
  type Measured,
  measured,
} from '../../quantity/measured';
import { type FittedLine, fitLine } from '../fit-line';

/** Bright or dark places of a pattern, read by hand, each with its order. */
export interface FringeReadings {
  /**
   * Whole numbers: of one slit's minima ±1, ±2 …; of the bright fringes of several slits 0, ±1, ±2 …. Of the dark places
   * between two slits' fringes ±1/2, ±3/2 …. They may start anywhere so long as they count on.
   */
  readonly orders: readonly number[];
  /** Where each was read, m (without focalLength direction sines). */
  readonly places: readonly number[];
  /** Standard uncertainty of a reading, m, one for each or one for all; left out: told by their scatter. */
  readonly u?: number | readonly number[];
  /** λ, m. */
  readonly wavelength: Measurable;
  /** f, m: focal length, or distance to the screen. Left out: places are direction sines. */
  readonly focalLength?: Measurable;
  /** Relative standard uncertainty of all places together: of the scale of a picture, `uScale` of its profile. Default 0. */
  readonly uScale?: number;
}

/** What a straight line through orders says. */
export interface LengthFromOrders {
  /** m: the width of one slit from its minima, the spacing of several from their fringes. */
  readonly length: Measured;
  /** Place of order 0, m. */
  readonly centre: Measured;
  /** Direction sine against order: what is drawn to judge by eye whether it is straight. */
  readonly line: FittedLine;
}

/**
 * Width or spacing by hand: a straight line through order against direction.
 *
 *   sin θ_m = m λ / L,  s_m = sin arctan((x_m − x₀)/f):  L = λ / slope,  u²(L)/L² = u²(slope)/slope² + u²(λ)/λ² + u²(f)/f² + uScale²
 *
 * L is the width a for the minima of one slit, the spacing d for the bright fringes of several. The centre x₀ is found
 * with it. With `u` the uncertainty is that of the readings; without, the scatter about the line tells it, with n − 2
 * degrees of freedom: three places are the least, five or more are better. (For small angles u(f)/f stands as above; it is
 * taken as the line changes with f.)
 *
 * @param readings orders and places, wavelength and distance (numbers, or measured values)
 * @returns length and centre as measured values that compute on, and the line
 * @throws RangeError with fewer than three places, or orders that are all equal
 * @see JCGM 100:2008, 5.1.2 and H.3 (cited from memory)
 * @example
 * const readings = { orders: [-2, -1, 1, 2], places: [mm(-20.2), mm(-9.9), mm(10.1), mm(20)] };
 * lengthFromOrders({ ...readings, u: mm(0.1), wavelength: nm(650), focalLength: 1.5 }).length.in('um') // '97.1(3) µm'
 */
export function lengthFromOrders(readings: FringeReadings): LengthFromOrders {
  const { orders, places, u, wavelength, focalLength, uScale = 0 } = readings ?? {};
  requireNumbers('orders', orders, 'give the order of each place', { least: 3 });
  requireNumbers('places', places, 'give one place in metres for each order', {
    count: orders.length,
  });
  const lambda = checkPositive('The wavelength', wavelength, 'nm(650)');
  const f =
    focalLength === undefined ? undefined : checkPositive('The focal length', focalLength, '1.5');
  requireNotNegative('uScale', uScale, 'give a relative standard uncertainty, such as 0.005');
  const at = lineAt({ orders, places, u }, f);
  const { slope, intercept } = at.line;
  if (!(Math.abs(slope.value) > 0)) {
    throw new RangeError('All places are one: read them at different orders.');
  }
  const freedom = u === undefined ? at.line.degreesOfFreedom : Number.POSITIVE_INFINITY;
  const [offset, rate] = correlated([intercept.value, slope.value], at.line.covariance, {
    freedom,
  });
  const bare = lambda / Math.abs(slope.value);
  // How the length follows f, by the line itself: L ∝ f for small angles.
  const step = 1e-4;
  const byFocal =
    f === undefined
      ? 0
      : (lambda / Math.abs(lineAt({ orders, places, u }, f * (1 + step)).line.slope.value) - bare) /
        (f * step);
  const length = combine(
    bare,
    [rate, -bare / slope.value],
    [wavelength, bare / lambda],
    ...(focalLength === undefined ? [] : ([[focalLength, byFocal]] as const)),
    ...(uScale > 0 ? ([[measured(1, uScale), bare]] as const) : []),
  );
  const centre = combine(at.centre, [offset, f ?? 1]);
  return { length, centre, line: at.line };
}

/** The line through the direction sines as seen from the place of order 0, which is found in a few rounds. */
function lineAt(
  { orders, places, u }: Pick<FringeReadings, 'orders' | 'places' | 'u'>,
  f: number | undefined,
) {
  let centre = places.reduce((sum, place) => sum + place, 0) / places.length;
  for (let round = 0; ; round++) {
    const from = places.map((place) => place - centre);
    const sines = f === undefined ? from : from.map((x) => x / Math.hypot(x, f));
    // A reading's u in the sine: ds/dx = f²/(x² + f²)^(3/2).
    const rate = (x: number) => (f === undefined ? 1 : f ** 2 / Math.hypot(x, f) ** 3);
    const each = (k: number) => (typeof u === 'number' ? u : (u?.[k] ?? Number.NaN));
    const line = fitLine({
      x: orders,
      y: sines,
      ...(u === undefined ? {} : { u: from.map((x, k) => each(k) * rate(x)) }),
    });
    const moved = line.intercept.value * (f ?? 1);
    if (round === 6 || Math.abs(moved) < 1e-12 * Math.max(1, Math.abs(centre))) {
      return { line, centre: centre + moved };
    }
    centre += moved;
  }
}

function checkPositive(name: string, value: Measurable, example: string): number {
  const bare = isMeasured(value) ? value.value : (value as number);
  if (bare > 0 && Number.isFinite(bare)) return bare;
  throw new RangeError(`${name} is ${bare}: give it in metres, such as ${example}.`);
}
