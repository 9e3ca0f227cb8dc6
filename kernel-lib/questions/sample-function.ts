import { formatNumber } from '../quantity/format-number';
import type { Problem } from './read-number';
import { sayError } from './say';

/** Longest time for one point and for all of them, ms. */
const onePoint = 2000;
const allPoints = 10_000;

/** A point in a sentence: "0.5", or "(0.5, 2)" for several arguments. */
function at(point: readonly number[]): string {
  const list = point.map((x) => formatNumber(x)).join(', ');
  return point.length === 1 ? list : `(${list})`;
}

/** What is wrong with one returned value, if anything. */
export function sampleProblem(value: unknown, point: readonly number[]): string | undefined {
  if (typeof value === 'number' && Number.isFinite(value)) return undefined;
  const where = `At ${at(point)} your function returns`;
  if (value === undefined)
    return `${where} nothing. Does it end with return? An arrow function with braces needs one too.`;
  if (value instanceof Promise || typeof (value as { then?: unknown } | null)?.then === 'function')
    return `${where} a promise. Take away async: the value itself is asked for.`;
  if (typeof value === 'number' && Number.isNaN(value))
    return `${where} NaN, "not a number". Look at 0/0 and at square roots of negative numbers there.`;
  if (typeof value === 'number') return `${where} an infinite value. Where does it divide by zero?`;
  return `${where} ${Array.isArray(value) ? 'a list' : `a value of type ${typeof value}`}, not a number.`;
}

export const noAnswerYet =
  'There is no answer yet: your function returns NaN everywhere. Put your formula in its place.';

/** True for the skeleton of a function as the sheet hands it out: NaN wherever it is asked. */
function isUntouched(f: (...point: number[]) => unknown, points: readonly (readonly number[])[]) {
  try {
    return points.every((point) => Number.isNaN(f(...point)));
  } catch {
    return false;
  }
}

/** Call a student's function at every point; a sentence instead when it does not give numbers. */
export function sampleFunction(
  f: unknown,
  points: readonly (readonly number[])[],
  signature: string,
): { readonly samples: number[] } | Problem {
  const wanted = `A function ${signature} is asked for`;
  if (typeof f === 'number')
    return { problem: `${wanted}; this is a number. Hand in the function itself, not its value.` };
  if (typeof f !== 'function') return { problem: `${wanted}; this is not a function.` };
  const takes = points[0]?.length ?? 0;
  if (f.length > takes)
    return {
      problem: `${wanted}; yours takes ${f.length} arguments, but it is called with ${takes}.`,
    };
  const samples: number[] = [];
  const started = Date.now();
  for (const point of points) {
    const before = Date.now();
    let value: unknown;
    try {
      value = f(...point);
    } catch (error) {
      return { problem: `At ${at(point)} your function stops with an error: ${sayError(error)}` };
    }
    const problem = sampleProblem(value, point);
    if (problem)
      return {
        problem: isUntouched(f as (...point: number[]) => unknown, points) ? noAnswerYet : problem,
      };
    samples.push(value as number);
    const now = Date.now();
    if (now - before > onePoint || now - started > allPoints)
      return {
        problem: `Your function takes too long: ${((now - before) / 1000).toFixed(1)} s at ${at(point)}. Is there a loop that could be shorter?`,
      };
  }
  return { samples };
}
