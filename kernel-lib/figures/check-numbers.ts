/** A list of numbers that can be drawn: an array or a typed array, without gaps. */
export function checkNumbers(name: string, values: ArrayLike<number>, length?: number): void {
  if (typeof values !== 'object' || values === null || typeof values.length !== 'number') {
    throw new TypeError(
      `${name} must be an array of numbers; it was given ${values === null ? 'null' : typeof values}. Pass an array, or the typed array that a library function returns.`,
    );
  }
  if (length !== undefined && values.length !== length) {
    throw new RangeError(
      `${name} has ${values.length} values, but ${length} are needed, one for each position. Compute both over the same positions.`,
    );
  }
  for (let i = 0; i < values.length; i++) {
    if (typeof values[i] !== 'number' || !Number.isFinite(values[i])) {
      throw new RangeError(
        `${name}[${i}] is ${String(values[i])}, not a finite number. Look for a division by zero, or a missing value, where it is computed.`,
      );
    }
  }
}

/** Checks that at least `least` values are there. */
export function checkEnough(name: string, values: ArrayLike<number>, least: number): void {
  if (values.length < least) {
    throw new RangeError(`${name} has ${values.length} values; a picture needs at least ${least}.`);
  }
}
