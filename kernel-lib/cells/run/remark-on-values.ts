import type { Remark } from '../plain-words';

/** A list longer than this is not looked through. */
const longest = 10_000;

const listOf = new Intl.ListFormat('en', { type: 'conjunction' });

/** What the value is called that a cell shows at its end. */
export const lastLine = 'The last line';

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

/** Whether nothing stands in a list, as where a function without `return` was laid over one. */
function isEmptied(value: unknown): boolean {
  if (!Array.isArray(value) || value.length === 0 || value.length > longest) return false;
  for (let n = 0; n < value.length; n += 1)
    if (Object.getOwnPropertyDescriptor(value, n)?.value !== undefined) return false;
  return true;
}

/** Prints or shows: nobody asks what it gives back. */
const onlyTells = /\bconsole\b|\bshow\b|\bprogress\b/;

/** Whether a function, by its text, works something out and gives nothing back. */
function lacksReturn(text: string): boolean {
  const isBlock = /^(?:async\s*)?(?:function\b|\(?[^=]*?\)?\s*=>\s*\{)/.test(text);
  const isNative = /\{\s*\[native code\]\s*\}\s*$/.test(text);
  return isBlock && !isNative && !/\breturn\b|\bthrow\b/.test(text) && !onlyTells.test(text);
}

/**
 * A remark on the values that a cell gave its names, where one of them is no number, or none that is finite. Nothing
 * of a cell's own code is run for it. A cell that says so itself is believed.
 *
 * @param source the cell's text
 * @param values the names that it declares, and what they are
 * @param functions those of cells that it uses or declares, by name: their texts
 */
export function remarkOnValues(
  source: string,
  values: readonly (readonly [string, unknown])[],
  functions: readonly (readonly [string, string])[] = [],
): Remark | undefined {
  const [without] = functions.flatMap(([name, text]) => (lacksReturn(text) ? [name] : []));
  const giveBack = `the function ${without} has no return, so it gives nothing back. Write return before the value that it works out`;
  // The last line shows what a name has already told.
  const told = (names: string[]) =>
    names.length > 1 ? names.filter((name) => name !== lastLine) : names;
  const named = (kind: Odd) =>
    told(values.flatMap(([name, value]) => (odd(value) === kind ? [name] : [])));
  const nothing = /\bNaN\b|\bblank\b/.test(source) ? [] : named('NaN');
  if (nothing.length > 0 && without !== undefined)
    return {
      says: `${listOf.format(nothing)} ${nothing.length > 1 ? 'have' : 'has'} come out as NaN, “not a number”: ${giveBack}.`,
    };
  const emptied = told(values.flatMap(([name, value]) => (isEmptied(value) ? [name] : [])));
  if (emptied.length > 0 && without !== undefined)
    return {
      says: `${listOf.format(emptied)} ${emptied.length > 1 ? 'have' : 'has'} come out without values (undefined): ${giveBack}.`,
    };
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
