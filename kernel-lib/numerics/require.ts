// The sentences for bad numbers, said once. Each names the thing, what was given and how to mend it.

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

/** Passes a whole number from low to high through. @throws TypeError, RangeError */
export function requireWhole(name: string, value: number, low: number, high: number): number {
  const least = low === -Infinity ? '' : ` from ${low}`;
  const range = `a whole number${least}${high === Infinity ? '' : ` to ${high}`}`;
  requireFinite(name, value, `give ${range}`);
  if (Number.isInteger(value) && value >= low && value <= high) return value;
  throw new RangeError(`${name} must be ${range}, but ${value} was given.`);
}

/** Passes a list of numbers through; its members are not looked at. @throws TypeError */
export function requireList(name: string, value: ArrayLike<number>, mend: string) {
  if (typeof value === 'object' && value !== null && typeof value.length === 'number') return value;
  throw new TypeError(`${name} must be a list of numbers, but ${shown(value)} was given: ${mend}.`);
}

/** A value as it reads in a sentence. */
export function shown(value: unknown): string {
  if (typeof value === 'string') return `the text "${value}"`;
  if (typeof value === 'function') return 'a function';
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object' && value !== null) return 'an object';
  return String(value);
}

/** Refuses a table whose columns differ in length, are too short, are not finite or do not ascend. */
export function requireTable(xs: ArrayLike<number>, ys: ArrayLike<number>, least: number): void {
  if (xs.length !== ys.length) {
    throw new RangeError(
      `A table needs as many ys as xs, but has ${xs.length} xs and ${ys.length} ys.`,
    );
  }
  if (xs.length < least) {
    throw new RangeError(`A table needs at least ${least} points, but has ${xs.length}.`);
  }
  for (let i = 0; i < xs.length; i++) {
    if (!Number.isFinite(xs[i]) || !Number.isFinite(ys[i])) {
      throw new RangeError(`Point ${i} of the table is (${xs[i]}, ${ys[i]}): give finite numbers.`);
    }
    if (i > 0 && xs[i] <= xs[i - 1]) {
      throw new RangeError(
        `The xs of a table must ascend, but ${xs[i]} follows ${xs[i - 1]}: sort the points.`,
      );
    }
  }
}
