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
export function bareValue(x: Measurable): number {
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
