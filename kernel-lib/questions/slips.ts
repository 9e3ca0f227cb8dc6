/** A slip with its wrong value already worked out for one student. */
export interface WorkedSlip<Value> {
  readonly name: string;
  readonly value: Value;
  readonly hint: string;
}

interface Formula<Given, Value> {
  readonly name: string;
  readonly value: (given: Given) => Value;
  readonly hint: string | ((given: Given, shown: string) => string);
}

/** Work every slip out; a hint that is plain text is led in by what was read. */
export function workSlips<Given, Value>(
  slips: readonly Formula<Given, Value>[],
  given: Given,
  shown: string,
  lead = `${shown} was read. `,
): WorkedSlip<Value>[] {
  return slips.map(({ name, value, hint }) => ({
    name,
    value: value(given),
    hint: typeof hint === 'function' ? hint(given, shown) : lead + hint,
  }));
}

/** The slip that comes nearest, by a distance in which anything above 1 is too far (so is NaN). */
export function nearestSlip<Value>(
  slips: readonly WorkedSlip<Value>[],
  distance: (value: Value) => number,
): WorkedSlip<Value> | undefined {
  let nearest: WorkedSlip<Value> | undefined;
  let least = 1;
  for (const slip of slips) {
    const far = distance(slip.value);
    if (!(far <= 1) || (nearest && far >= least)) continue;
    nearest = slip;
    least = far;
  }
  return nearest;
}
