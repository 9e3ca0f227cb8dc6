// The sentences for bad input, said once. Each names the thing, what it must be, what was given and how to mend it:
// `mend` is that last part, without a full stop. A wrong type is a TypeError, a wrong value a RangeError.

/** Passes a finite number through. @throws TypeError for other types, RangeError for NaN and infinities */
export function requireFinite(name: string, value: number, mend = 'give a finite number'): number {
  if (typeof value !== 'number') {
    throw new TypeError(`${name} must be a number, but ${shown(value)} was given: ${mend}.`);
  }
  if (!Number.isFinite(value)) {
    throw new RangeError(`${name} must be finite, but ${value} was given: ${mend}.`);
  }
  return value;
}

/** Passes a finite number above 0 through. @throws TypeError, RangeError */
export function requirePositive(name: string, value: number, mend: string): number {
  requireFinite(name, value, mend);
  if (value > 0) return value;
  throw new RangeError(`${name} must be greater than 0, but ${value} was given: ${mend}.`);
}

/** Passes a finite number of 0 or more through. @throws TypeError, RangeError */
export function requireNotNegative(name: string, value: number, mend: string): number {
  requireFinite(name, value, mend);
  if (value >= 0) return value;
  throw new RangeError(`${name} must not be negative, but ${value} was given: ${mend}.`);
}

/** Passes a finite number from low to high through, both included. @throws TypeError, RangeError */
export function requireWithin(
  name: string,
  value: number,
  [low, high]: readonly [number, number],
  mend: string,
): number {
  requireFinite(name, value, mend);
  if (value >= low && value <= high) return value;
  throw new RangeError(`${name} must lie from ${low} to ${high}, but ${value} was given: ${mend}.`);
}

/** Passes a whole number from low to high through. @throws TypeError, RangeError */
export function requireWhole(name: string, value: number, low: number, high: number): number {
  const least = low === -Infinity ? '' : ` from ${low}`;
  const range = `a whole number${least}${high === Infinity ? '' : ` to ${high}`}`;
  requireFinite(name, value, `give ${range}`);
  if (Number.isInteger(value) && value >= low && value <= high) return value;
  throw new RangeError(`${name} must be ${range}, but ${value} was given.`);
}

/** Passes one of some words through. @throws RangeError that lists them */
export function requireOneOf<T extends string>(name: string, value: T, words: readonly T[]): T {
  if (words.includes(value)) return value;
  const list = words.map((word) => `'${word}'`);
  const last = list.length > 1 ? ` or ${list.pop()}` : '';
  throw new RangeError(`${name} must be ${list.join(', ')}${last}, but ${shown(value)} was given.`);
}

/** Passes options through of which every name is known: a misspelt one would be passed over in silence. @throws TypeError */
export function requireKnown<T extends object>(of: string, given: T, names: readonly string[]): T {
  const stranger = Object.keys(given).find((name) => !names.includes(name));
  if (stranger === undefined) return given;
  throw new TypeError(`${of} has no parameter ${stranger}: choose from ${names.join(', ')}.`);
}

/** Passes a list through; its members are not looked at. @throws TypeError */
export function requireList(name: string, value: ArrayLike<number>, mend: string) {
  if (typeof value === 'object' && value !== null && typeof value.length === 'number') return value;
  throw new TypeError(`${name} must be a list of numbers, but ${shown(value)} was given: ${mend}.`);
}

/** Passes a list of finite numbers through, `count` of them or at least `least`; `name` is what it is called in code. @throws TypeError, RangeError */
export function requireNumbers(
  name: string,
  values: ArrayLike<number>,
  mend: string,
  { count, least = 0 }: { readonly count?: number; readonly least?: number } = {},
) {
  const { length } = requireList(name, values, mend);
  if (length < least || (count !== undefined && length !== count)) {
    const wanted = count ?? `at least ${least}`;
    const noun = (count ?? least) === 1 ? 'value' : 'values';
    throw new RangeError(`${name} must have ${wanted} ${noun}, but has ${length}: ${mend}.`);
  }
  for (let i = 0; i < length; i++)
    if (!Number.isFinite(values[i])) requireFinite(`${name}[${i}]`, values[i], mend);
  return values;
}

/** Refuses a table whose columns differ in length, are too short, are not finite or do not ascend. @throws TypeError, RangeError */
export function requireTable(xs: ArrayLike<number>, ys: ArrayLike<number>, least: number): void {
  requireNumbers('xs', xs, 'give the finite numbers of a table', { least });
  requireNumbers('ys', ys, 'give a finite number for each x', { count: xs.length });
  for (let i = 1; i < xs.length; i++) {
    if (xs[i] > xs[i - 1]) continue;
    throw new RangeError(
      `The xs of a table must ascend, but ${xs[i]} follows ${xs[i - 1]}: sort the points.`,
    );
  }
}

/** A value as it reads in a sentence. */
export function shown(value: unknown): string {
  if (typeof value === 'string') return `the text "${value}"`;
  if (typeof value === 'function') return 'a function';
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object' && value !== null) return 'an object';
  return String(value);
}
