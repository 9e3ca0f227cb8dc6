import type { Remark } from '../plain-words';

/** A list longer than this is not looked through. */
const longest = 10_000;

const listOf = new Intl.ListFormat('en', { type: 'conjunction' });

type Odd = 'NaN' | 'Infinity';

const oddIn = (value: unknown): Odd | undefined =>
  typeof value !== 'number' || Number.isFinite(value)
    ? undefined
    : Number.isNaN(value)
      ? 'NaN'
      : 'Infinity';

/** What a value, or a value in a list, is that it was surely not to be. */
function odd(value: unknown): Odd | undefined {
  if (!Array.isArray(value) || value.length > longest) return oddIn(value);
  for (let n = 0; n < value.length; n += 1) {
    const found = oddIn(Object.getOwnPropertyDescriptor(value, n)?.value);
    if (found) return found;
  }
  return undefined;
}

/**
 * A remark on the values that a cell gave its names, where one of them is no number, or none that is finite. Nothing
 * of a cell's own code is run for it. A cell that says so itself is believed.
 *
 * @param source the cell's text
 * @param values the names that it declares, and what they are
 */
export function remarkOnValues(
  source: string,
  values: readonly (readonly [string, unknown])[],
): Remark | undefined {
  const named = (kind: Odd) =>
    values.flatMap(([name, value]) => (odd(value) === kind ? [name] : []));
  const nothing = /\bNaN\b|\bblank\b/.test(source) ? [] : named('NaN');
  if (nothing.length > 0)
    return {
      says: `${listOf.format(nothing)} ${nothing.length > 1 ? 'have' : 'has'} come out as NaN, “not a number”: something in the computation has no value yet (a blank answer, a list without that place), or is 0/0, the root of a negative number, or Math.asin of more than 1.`,
    };
  const endless = /\bInfinity\b/.test(source) ? [] : named('Infinity');
  if (endless.length === 0) return undefined;
  return {
    says: `${listOf.format(endless)} ${endless.length > 1 ? 'have' : 'has'} come out as Infinity: something was divided by 0.`,
  };
}
