import jstat from 'jstat';
import { effectiveFreedom } from './correlated';
import { formatNumber } from './format-number';
import { Measured } from './measured';
import { printMeasured } from './print-measured';

/** A value with its expanded uncertainty: the interval value ± U covers the quantity with the stated probability. */
export interface Expanded {
  readonly value: number;
  /** U = k u, in the unit of the value. */
  readonly U: number;
  /** Coverage factor. */
  readonly k: number;
  /** Coverage probability, 0…1. */
  readonly coverage: number;
  /** Effective degrees of freedom of u; Infinity where it is known exactly. */
  readonly freedom: number;
  /** In a unit, the value being SI: `(589.3 ± 1.1) nm (k = 2.26, 95 % coverage, ν = 9)`. */
  in(unit: string): string;
  /** The same without a unit. */
  toString(): string;
}

/**
 * Coverage factor: how many standard uncertainties to each side hold a quantity with the given probability.
 *
 *   k = t_p(ν), the quantile (1 + p)/2 of Student's t distribution; ν is cut to a whole number
 *
 * @param freedom degrees of freedom ν > 0 of the standard uncertainty, Infinity for the normal distribution
 * @param coverage probability p, 0 < p < 1 (default 0.95)
 * @returns k, a plain number, to 6 digits
 * @throws RangeError outside those ranges
 * @see JCGM 100:2008, G.3.4 and G.6.4 (cited from memory)
 * @example coverageFactor(9) // 2.262157
 */
export function coverageFactor(freedom: number, coverage = 0.95): number {
  if (!(freedom > 0))
    throw new RangeError(
      `Degrees of freedom lie above 0; coverageFactor was given ${String(freedom)}. effectiveFreedom(x) tells those of a measured value.`,
    );
  if (!(coverage > 0 && coverage < 1))
    throw new RangeError(
      `A coverage probability lies between 0 and 1, as in 0.95 for 95 %; it was given as ${String(coverage)}.`,
    );
  // Rounding leaves 3.9999999 where 4 is meant; below 1 there is no whole number to cut to.
  const whole = freedom < 1 ? freedom : Math.floor(freedom * (1 + 1e-9));
  const quantile = (1 + coverage) / 2;
  // jstat loses digits beyond 10⁷; there the two differ in the seventh digit only.
  return whole > 1e7 ? jstat.normal.inv(quantile, 0, 1) : jstat.studentt.inv(quantile, whole);
}

/**
 * Expanded uncertainty of a measured value: the interval that is stated where a decision hangs on it.
 *
 *   U = k u,  k = t_p(ν_eff)
 *
 * Repeating a measurement five times leaves ν = 4, where 95 % take 2.8 standard uncertainties and not 2.
 *
 * @param x a measured value, with u and ν from its causes; a fitted parameter by way of `measuredParameters(fit)`
 * @param options coverage: probability, 0 < p < 1 (default 0.95)
 * @returns value and U in the unit of x, k, coverage, ν; printed the usual way
 * @throws TypeError when x is no measured value: a bare number and a bare pair of value and u do not tell ν
 * @throws RangeError when the coverage lies outside 0…1
 * @see JCGM 100:2008, 6.2.1, 7.2.3 and G.6.4 (cited from memory)
 * @example String(expanded(meanOf([10.1, 10.3, 10.2]))) // '10.20 ± 0.25 (k = 4.30, 95 % coverage, ν = 2)'
 */
export function expanded(x: Measured, options: { readonly coverage?: number } = {}): Expanded {
  if (!(x instanceof Measured))
    throw new TypeError(
      'expanded takes a measured value, as in expanded(measured(12.34, 0.05)); of a fit give it one of measuredParameters(fit).',
    );
  const { coverage = 0.95 } = options;
  const freedom = effectiveFreedom(x);
  const k = coverageFactor(freedom, coverage);
  const { value } = x;
  const U = k * x.u;
  const how = `(k = ${k.toFixed(2)}, ${formatNumber(100 * coverage)} % coverage, ν = ${wholeFreedom(freedom)})`;
  const print = (unit?: string) =>
    `${printMeasured({ value, u: U }, { unit, style: 'plus-minus' })} ${how}`;
  return {
    value,
    U,
    k,
    coverage,
    freedom,
    in: print,
    toString: () => print(),
    [Symbol.for('nodejs.util.inspect.custom')]: () => print(),
  } as Expanded;
}

const wholeFreedom = (freedom: number) =>
  freedom < 1 ? formatNumber(freedom) : formatNumber(Math.floor(freedom * (1 + 1e-9)), 6);
