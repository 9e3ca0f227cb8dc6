import { bareValue, combine, type Measurable, type Measured } from './measured';

/**
 * A function of measured values: the value at the inputs, with uncertainty by first-order
 * propagation. Inputs that share a reading are correlated as they should be.
 *
 *   u²(y) = Σᵢ Σⱼ (∂f/∂xᵢ)(∂f/∂xⱼ) u(xᵢ, xⱼ)
 *
 * The derivatives are central differences over a hundredth of each uncertainty and twice that,
 * extrapolated, so they hold to about 9 digits for smooth functions.
 *
 * @param f a function of plain numbers, such as `(d, angle) => d * Math.sin(angle)`
 * @param inputs measured values or plain numbers, in the order of its arguments
 * @returns the result, in the unit that f gives
 * @throws TypeError when f is not a function, or gives no finite number at or near the inputs
 * @see JCGM 100:2008, 5.1.2 and 5.2.2
 * @example String(propagate((a, b) => a * b, measured(2, 0.03), measured(5, 0.04))) // '10.00(17)'
 */
export function propagate(
  f: (...values: number[]) => number,
  ...inputs: readonly Measurable[]
): Measured {
  if (typeof f !== 'function')
    throw new TypeError('propagate takes a function first: propagate((a, b) => a * b, x, y).');
  const values = inputs.map(bareValue);
  const at = (index: number, value: number) => {
    const result = f(...values.map((x, i) => (i === index ? value : x)));
    if (typeof result === 'number' && Number.isFinite(result)) return result;
    throw new TypeError(
      `The function in propagate gives ${String(result)} where argument ${index + 1} is ${value}; a finite number is needed at and near the inputs.`,
    );
  };
  const slopes = inputs.map((x, i) => {
    const step = stepFor(x);
    if (step === 0) return [x, 0] as const;
    const slope = (h: number) => (at(i, values[i] + h) - at(i, values[i] - h)) / (2 * h);
    return [x, (4 * slope(step) - slope(2 * step)) / 3] as const;
  });
  const value = inputs.length > 0 ? at(0, values[0]) : f();
  return combine(value, ...slopes);
}

/** A hundredth of the uncertainty, but never so little that rounding drowns the difference. */
function stepFor(x: Measurable): number {
  if (typeof x === 'number' || x.u === 0) return 0;
  return Math.max(x.u / 100, Math.abs(x.value) * 1e-6);
}
