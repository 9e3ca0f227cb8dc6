import { profileExtrema } from '../extrema-of';
import type { Fitted } from '../fit-result';
import type { Profile } from '../profile';
import { lengthFromOrders } from './length-from-orders';
import type { SlitGeometry } from './slit-model';

/** The same length from a straight line through bright or dark places, beside the fit. */
export interface CheckByHand {
  /** Which length it checks: the width by one slit's minima, the spacing by the bright fringes of several. */
  readonly of: 'width' | 'spacing';
  readonly orders: readonly number[];
  /** m, as the profile's positions. */
  readonly places: readonly number[];
  /** m. */
  readonly length: Fitted;
  /** False when they differ by more than a twentieth and more than three standard uncertainties together. */
  readonly agrees: boolean;
}

/** How far places by eye and the fit may differ: the envelope draws fringes towards the middle. */
const tolerance = 0.05;

/** A place belongs to an order when it is nearer to it than this, in orders. */
const near = 0.25;

/** What a fit found, as far as the check needs it. */
interface Checked {
  readonly count: number;
  readonly width: Fitted;
  readonly spacing: Fitted;
  readonly centre: Fitted;
}

/**
 * Mark bright or dark places as a person would, give each the order that the fit has there, and lay a straight line
 * through them. A count that is wrong by a factor, or fringes that the fit does not have, show here.
 *
 * @returns undefined where fewer than three places stand out
 */
export function checkByHand(
  profile: Profile,
  geometry: SlitGeometry,
  found: Checked,
): CheckByHand | undefined {
  const { wavelength, focalLength } = geometry;
  const of = found.count > 1 ? 'spacing' : 'width';
  const fitted = found[of];
  const scale = (wavelength * (focalLength ?? 1)) / fitted.value;
  if (!(scale > 0 && Number.isFinite(scale))) return undefined;
  const wanted = of === 'spacing' ? 'maximum' : 'minimum';
  const span = profile.x[profile.x.length - 1] - profile.x[0];
  if (profile.x.length < 8 || scale > 4 * span) return undefined;
  const seen = profileExtrema(profile, {
    smooth: Math.max(scale / 12, span / profile.x.length),
  }).filter(({ kind }) => kind === wanted);
  const marked = seen
    .map((one) => ({ ...one, order: (one.place - found.centre.value) / scale }))
    .map((one) => ({ ...one, whole: Math.round(one.order) }))
    .filter(
      ({ whole, order }) => Math.abs(order - whole) < near && (of === 'spacing' || whole !== 0),
    );
  const each = new Map<number, (typeof marked)[number]>();
  for (const one of marked) {
    const other = each.get(one.whole);
    const better = other && Math.abs(other.order - other.whole) < Math.abs(one.order - one.whole);
    if (!better) each.set(one.whole, one);
  }
  const used = [...each.values()].sort((a, b) => a.whole - b.whole);
  if (used.length < 3) return undefined;
  const [orders, places] = [used.map(({ whole }) => whole), used.map(({ place }) => place)];
  const { length } = lengthFromOrders({ orders, places, wavelength, focalLength });
  const off = Math.abs(length.value - fitted.value);
  const both = Math.hypot(length.u, fitted.u);
  // Of several slits, tall fringes that stand between two orders speak against the fit's spacing.
  const highest = Math.max(...seen.map(({ height }) => height));
  const lowest = profile.y.reduce((a, b) => Math.min(a, b));
  const strays = seen.filter(({ place, height }) => {
    const order = (place - found.centre.value) / scale;
    const tall = height - lowest > 0.4 * (highest - lowest);
    return of === 'spacing' && tall && Math.abs(order - Math.round(order)) > near;
  });
  const close = off <= Math.max(3 * both, tolerance * fitted.value);
  return {
    ...{ of, orders, places },
    length: { value: length.value, u: length.u },
    agrees: close && strays.length === 0,
  };
}
