import { type Cause, Measured } from './measured';

/**
 * A measured value with its standard uncertainty, independent of all others.
 *
 * @param value in any unit, best SI
 * @param u standard uncertainty in the same unit, ≥ 0
 * @param options freedom: degrees of freedom behind u, above 0 (default Infinity)
 * @returns a value that carries its uncertainty through `plus`, `times`, `sin`, `propagate` …
 * @throws TypeError when value or u is not a finite number
 * @throws RangeError when u is negative, or freedom not above 0
 * @see JCGM 100:2008, 4.1 to 4.3
 * @example String(measured(12.34, 0.05)) // '12.34(5)'
 */
export function measured(
  value: number,
  u: number,
  options: { readonly freedom?: number } = {},
): Measured {
  const { freedom = Number.POSITIVE_INFINITY } = options;
  for (const [name, part] of Object.entries({ value, uncertainty: u }))
    if (typeof part !== 'number' || !Number.isFinite(part))
      throw new TypeError(
        `measured(value, u) takes two numbers, as in measured(12.34, 0.05); its ${name} was ${String(part)}.`,
      );
  if (u < 0)
    throw new RangeError(`A standard uncertainty is not negative; measured was given u = ${u}.`);
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
