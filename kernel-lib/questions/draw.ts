import { type Random, seeded } from '../numerics/random';

/** Draws a student's givens. Each name has a stream of its own, so that a new given never moves the others. */
export interface Draw {
  /** A multiple of `step` between `low` and `high`, both included, all equally likely. SI units. */
  between(name: string, low: number, high: number, step: number): number;
  /** One of the list. */
  choice<T>(name: string, list: readonly T[]): T;
  /** `count` normal deviates of standard deviation 1, for documented noise. */
  normals(name: string, count: number): number[];
  /** A whole number, to seed something else. */
  seed(name: string): number;
}

/**
 * This student's givens of a sheet: the same number always gets the same ones.
 *
 * @example
 * const sheet = {
 *   name: '08-a-hair',
 *   title: 'A hair',
 *   givens: (draw) => ({ diameter: draw.choice('diameter', [um(60), um(80)]) }),
 *   questions: [],
 * };
 * givensFor(sheet, '204117').diameter === givensFor(sheet, '204117').diameter // true
 */
export function givensFor(
  sheet: { readonly name: string; readonly givens: (draw: Draw) => object },
  student: string,
): object {
  return sheet.givens(drawFor(sheet.name, student));
}

/** Whole multiples of the step at both ends, or a sentence for the sheet's author. */
function steps(name: string, low: number, high: number, step: number): [number, number] {
  const said = `The given '${name}' is drawn between ${low} and ${high} in steps of ${step}`;
  if (![low, high, step].every(Number.isFinite) || !(step > 0) || !(high >= low))
    throw new RangeError(`${said}; low ≤ high and a step above 0 are needed.`);
  const [first, last] = [low / step, high / step];
  for (const end of [first, last])
    if (Math.abs(end - Math.round(end)) > 1e-6)
      throw new RangeError(`${said}; both ends must be whole multiples of the step.`);
  return [Math.round(first), Math.round(last)];
}

/**
 * The draw of one student for one sheet. Same sheet and number, same givens, on any machine: every
 * name is a stream of its own, drawn values are whole multiples of their step rounded to 15 digits,
 * and normal deviates are rounded to 6 decimals.
 *
 * @param sheet the sheet's name, such as `02-one-slit`
 * @param student the student number as text
 * @throws RangeError when a name is drawn twice or a range is not sound
 * @example drawFor('02-one-slit', '204117').between('width', 20e-6, 60e-6, 1e-6) // 0.000048
 */
export function drawFor(sheet: string, student: string): Draw {
  const used = new Set<string>();

  function stream(name: string): Random {
    if (typeof name !== 'string' || name === '')
      throw new RangeError('Each given that is drawn needs a name of its own.');
    if (used.has(name))
      throw new RangeError(
        `The given '${name}' is drawn twice; each draw needs a name of its own, or both come out equal.`,
      );
    used.add(name);
    return seeded(`${sheet}/${student}/${name}`);
  }

  return {
    between(name, low, high, step) {
      const [first, last] = steps(name, low, high, step);
      const multiple = first + stream(name).whole(last - first + 1);
      return Number((multiple * step).toPrecision(15));
    },
    choice(name, list) {
      if (list.length === 0)
        throw new RangeError(`The given '${name}' is chosen from an empty list.`);
      return list[stream(name).whole(list.length)];
    },
    normals(name, count) {
      if (!Number.isInteger(count) || count < 0)
        throw new RangeError(`'${name}' asks for ${count} deviates; a whole number is needed.`);
      const random = stream(name);
      return Array.from({ length: count }, () => Number(random.normal().toFixed(6)));
    },
    seed(name) {
      return stream(name).whole(2 ** 31);
    },
  };
}
