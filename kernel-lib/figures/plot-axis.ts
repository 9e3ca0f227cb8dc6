import { requireNumbers } from '../numerics/require';
import { knownUnit, toUnit } from '../quantity/known-unit';
import { Measured } from '../quantity/measured';
import { type Axis, drawable, mostPoints, type PointsLayer, type Style } from './chart';

/** What one axis of a plot shows. */
export interface PlotAxis {
  /** Such as `position x`. */
  readonly quantity: string;
  /**
   * The unit printed: `mm`, `deg`, `1`. Values are SI and are converted; a unit that the library
   * does not know, such as `counts`, is printed as it is and its values are taken as they are.
   */
  readonly unit: string;
  readonly log?: boolean;
  /** Ends of the axis, in SI as the values are. */
  readonly range?: readonly [number, number];
}

/** Readings to be drawn: plain numbers, or values with their standard uncertainties. */
export type Readings = ArrayLike<number | Measured>;

/** The axis to draw, and how an SI value stands on it. */
export function plotAxis(name: string, asked: PlotAxis): { axis: Axis; at: (v: number) => number } {
  if (typeof asked?.quantity !== 'string' || typeof asked.unit !== 'string') {
    throw new TypeError(
      `The ${name} axis needs a quantity and a unit, such as ${name}: { quantity: 'position', unit: 'mm' }; unit '1' for a plain number.`,
    );
  }
  const unit = knownUnit(asked.unit);
  const at = (value: number) => (unit ? toUnit(value, asked.unit) : value);
  const range = asked.range && ([at(asked.range[0]), at(asked.range[1])] as const);
  const printed = unit ? unit.label.trim() || 'ratio' : asked.unit;
  return { axis: { quantity: asked.quantity, unit: printed, log: asked.log, range }, at };
}

/** Numbers of readings, and their uncertainties where they carry some or `u` says so. */
export function readingsOf(
  name: string,
  values: Readings,
  u: ArrayLike<number> | number | undefined,
  at: (value: number) => number,
): { values: number[]; u?: number[] } {
  const list: (number | Measured)[] = Array.from(values ?? []);
  const plain = list.map((v) => (v instanceof Measured ? v.value : v));
  requireNumbers(name, values === undefined || values === null ? values : plain, drawable);
  const isMeasured = list.some((v) => v instanceof Measured);
  const given = typeof u === 'number' ? plain.map(() => u) : u && Array.from(u);
  if (given) {
    const count = plain.length;
    requireNumbers(`the uncertainty of ${name}`, given, drawable, { count });
  }
  const all =
    given ?? (isMeasured ? list.map((v) => (v instanceof Measured ? v.u : 0)) : undefined);
  // A difference, so that a unit with a zero of its own would not shift the uncertainty.
  const sizes = all?.map((v) => Math.abs(at(v) - at(0)));
  return { values: plain.map(at), u: sizes };
}

/** From here on error bars would be a grey wall: small dots without bars. */
const crowd = 150;

type Points = Pick<PointsLayer, 'x' | 'y' | 'ux' | 'uy' | 'name'>;

/** Readings as points with error bars; many of them as dots, evenly picked where plotly would get slow. */
export function pointsLayer({ x, y, ux, uy, name }: Points, style: Style): PointsLayer {
  if (x.length <= crowd) return { type: 'points', x, y, ux, uy, name, style };
  const every = Math.ceil(x.length / mostPoints);
  const picked = (values: readonly number[]) => values.filter((_, i) => i % every === 0);
  return { type: 'points', small: true, x: picked(x), y: picked(y), name, style };
}
