import { requireFinite, requireNotNegative } from '../numerics/require';
import { type PrintStyle, printMeasured } from './print-measured';

/** One evaluation of uncertainty: a set of readings that were taken together, one fit, one certificate. */
export interface Evaluation {
  /** Degrees of freedom behind it; Infinity when the uncertainties are known exactly. */
  readonly freedom: number;
}

/** One independent cause of uncertainty. Its identity is what makes two results correlated. */
export interface Cause {
  /** What told how large it is; causes that were evaluated together share one. */
  readonly evaluation: Evaluation;
}

/** What a function of measured values takes: a plain number has no uncertainty. */
export type Measurable = Measured | number;

/**
 * A value with its standard uncertainty. Each carries the signed contribution cᵢ u(xᵢ) of every
 * independent cause, so results that share a reading are correlated as they should be:
 * `x.minus(x)` is exactly 0(0).
 *
 *   u²(y) = Σ (∂y/∂xᵢ)² u²(xᵢ), summed over independent causes, first order
 *
 * @see JCGM 100:2008, 5.1.2 and 5.2
 * @example String(measured(3, 0.3).plus(measured(4, 0.4))) // '7.0(5)'
 */
export class Measured {
  constructor(
    readonly value: number,
    readonly contributions: ReadonlyMap<Cause, number>,
  ) {}

  /** Standard uncertainty, in the unit of the value. */
  get u(): number {
    return Math.hypot(...this.contributions.values());
  }

  /** u/|value|, a plain number. */
  get relative(): number {
    return this.u / Math.abs(this.value);
  }

  plus(other: Measurable): Measured {
    return combine(this.value + bareValue(other), [this, 1], [other, 1]);
  }

  minus(other: Measurable): Measured {
    return combine(this.value - bareValue(other), [this, 1], [other, -1]);
  }

  times(other: Measurable): Measured {
    const b = bareValue(other);
    return combine(this.value * b, [this, b], [other, this.value]);
  }

  /** Divided by another. Dividing by zero gives ±Infinity or NaN, as with numbers. */
  over(other: Measurable): Measured {
    const b = bareValue(other);
    return combine(this.value / b, [this, 1 / b], [other, -this.value / b / b]);
  }

  /** To a fixed power. */
  power(exponent: number): Measured {
    const slope = exponent === 0 ? 0 : exponent * this.value ** (exponent - 1);
    return combine(this.value ** exponent, [this, slope]);
  }

  sqrt(): Measured {
    return this.power(0.5);
  }

  /** |value|, with the same uncertainty. */
  abs(): Measured {
    return combine(Math.abs(this.value), [this, this.value < 0 ? -1 : 1]);
  }

  exp(): Measured {
    return combine(Math.exp(this.value), [this, Math.exp(this.value)]);
  }

  log(): Measured {
    return combine(Math.log(this.value), [this, 1 / this.value]);
  }

  /** Sine of an angle in rad. */
  sin(): Measured {
    return combine(Math.sin(this.value), [this, Math.cos(this.value)]);
  }

  cos(): Measured {
    return combine(Math.cos(this.value), [this, -Math.sin(this.value)]);
  }

  tan(): Measured {
    return combine(Math.tan(this.value), [this, 1 / Math.cos(this.value) ** 2]);
  }

  /** Angle in rad whose sine this is. */
  asin(): Measured {
    return combine(Math.asin(this.value), [this, 1 / Math.sqrt(1 - this.value ** 2)]);
  }

  acos(): Measured {
    return combine(Math.acos(this.value), [this, -1 / Math.sqrt(1 - this.value ** 2)]);
  }

  atan(): Measured {
    return combine(Math.atan(this.value), [this, 1 / (1 + this.value ** 2)]);
  }

  /** As text in a unit: `589.3(5) nm`, or with style 'plus-minus' `(589.3 ± 0.5) nm`. The value is taken as SI. */
  in(unit: string, style: PrintStyle = 'brief'): string {
    return printMeasured(this, { unit, style });
  }

  /** The value and its uncertainty in the last digits: `12.34(5)`. */
  toString(): string {
    return printMeasured(this);
  }

  /** So that printing one in a cell shows 12.34(5), not its insides. */
  [Symbol.for('nodejs.util.inspect.custom')](): string {
    return this.toString();
  }

  /** Arithmetic with + − × ÷ would lose the uncertainty without a word, so it is refused. */
  [Symbol.toPrimitive](hint: string): string {
    if (hint === 'string') return this.toString();
    throw new TypeError(
      `A measured value (${this}) does not work with + - * / or Math.sin. Use x.plus(y), x.minus(y), x.times(y), x.over(y), x.sin() …, or propagate(f, x, y); x.value is the bare number.`,
    );
  }

  /** The value and u alone; correlations do not travel as text. */
  toJSON(): { value: number; u: number } {
    return { value: this.value, u: this.u };
  }
}

/** The bare number of a measured value or of a number. */
function bareValue(x: Measurable): number {
  return typeof x === 'number' ? x : x.value;
}

/** A result with its derivatives after each argument: adds up what each independent cause contributes. */
export function combine(
  value: number,
  ...slopes: readonly (readonly [x: Measurable, slope: number])[]
): Measured {
  const sum = new Map<Cause, number>();
  for (const [x, slope] of slopes) {
    if (typeof x === 'number') continue;
    for (const [cause, part] of x.contributions)
      sum.set(cause, (sum.get(cause) ?? 0) + slope * part);
  }
  return new Measured(value, sum);
}

/**
 * A measured value with its standard uncertainty, independent of all others.
 *
 * @param value in any unit, best SI
 * @param u standard uncertainty in the same unit, ≥ 0
 * @param options freedom: degrees of freedom behind u, above 0 (default Infinity)
 * @returns a value that carries its uncertainty through `plus`, `times`, `sin`, `propagate` …
 * @throws TypeError, RangeError when value or u is not a finite number, u is negative, or freedom not above 0
 * @see JCGM 100:2008, 4.1 to 4.3
 * @example String(measured(12.34, 0.05)) // '12.34(5)'
 */
export function measured(
  value: number,
  u: number,
  options: { readonly freedom?: number } = {},
): Measured {
  const { freedom = Number.POSITIVE_INFINITY } = options;
  const mend = 'give two numbers, as in measured(12.34, 0.05)';
  requireFinite('The value in measured(value, u)', value, mend);
  requireNotNegative('The standard uncertainty in measured(value, u)', u, mend);
  if (!(freedom > 0))
    throw new RangeError(`Degrees of freedom lie above 0; measured was given ${String(freedom)}.`);
  const cause: Cause = { evaluation: { freedom } };
  return new Measured(value, u === 0 ? new Map() : new Map([[cause, u]]));
}

/**
 * True for a measured value, and for any object with a number `value` and a number `u`, such as a fitted parameter.
 *
 * @example isMeasured({ value: 12.34, u: 0.05 }) // true
 */
export function isMeasured(x: unknown): x is { readonly value: number; readonly u: number } {
  if (x instanceof Measured) return true;
  if (typeof x !== 'object' || x === null) return false;
  const { value, u } = x as { value?: unknown; u?: unknown };
  return typeof value === 'number' && typeof u === 'number';
}

/**
 * A function of measured values: the value at the inputs, with uncertainty by first-order
 * propagation. Inputs that share a reading are correlated as they should be.
 *
 *   u²(y) = Σᵢ Σⱼ (∂f/∂xᵢ)(∂f/∂xⱼ) u(xᵢ, xⱼ)
 *
 * The derivatives are central differences over a hundredth of each uncertainty and twice that,
 * extrapolated, so they hold to about 9 digits for smooth functions.
 *
 * @param f a function of plain numbers, such as `(d, angle) => d * Math.sin(angle)`
 * @param inputs measured values or plain numbers, in the order of its arguments
 * @returns the result, in the unit that f gives
 * @throws TypeError when f is not a function, or gives no finite number at or near the inputs
 * @see JCGM 100:2008, 5.1.2 and 5.2.2
 * @example String(propagate((a, b) => a * b, measured(2, 0.03), measured(5, 0.04))) // '10.00(17)'
 */
export function propagate(
  f: (...values: number[]) => number,
  ...inputs: readonly Measurable[]
): Measured {
  if (typeof f !== 'function')
    throw new TypeError('propagate takes a function first: propagate((a, b) => a * b, x, y).');
  const values = inputs.map(bareValue);
  const at = (index: number, value: number) => {
    const result = f(...values.map((x, i) => (i === index ? value : x)));
    if (typeof result === 'number' && Number.isFinite(result)) return result;
    throw new TypeError(
      `The function in propagate gives ${String(result)} where argument ${index + 1} is ${value}; a finite number is needed at and near the inputs.`,
    );
  };
  const slopes = inputs.map((x, i) => {
    const step = stepFor(x);
    if (step === 0) return [x, 0] as const;
    const slope = (h: number) => (at(i, values[i] + h) - at(i, values[i] - h)) / (2 * h);
    return [x, (4 * slope(step) - slope(2 * step)) / 3] as const;
  });
  const value = inputs.length > 0 ? at(0, values[0]) : f();
  return combine(value, ...slopes);
}

/** A hundredth of the uncertainty, but never so little that rounding drowns the difference. */
function stepFor(x: Measurable): number {
  if (typeof x === 'number' || x.u === 0) return 0;
  return Math.max(x.u / 100, Math.abs(x.value) * 1e-6);
}
