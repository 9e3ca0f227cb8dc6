import { fromUnits, inUnit, type Parameter, parameters } from '../../figures/bench/setting';

/** How a slider stands for a parameter: whole positions 0 … `last`. */
export interface SliderScale {
  readonly last: number;
  /** The position nearest to a value. */
  position(value: number): number;
  /** The value at a position, rounded to what a person would set. */
  value(position: number): number;
}

/** The slider of a parameter. Logarithmic ones give three significant digits. */
export function sliderScale(parameter: Parameter): SliderScale {
  const { low, high, step, logarithmic } = parameter;
  const from = logarithmic ? Math.log10(low) : low;
  const to = logarithmic ? Math.log10(high) : high;
  const last = Math.round((to - from) / step);
  const clamp = (position: number) => Math.min(last, Math.max(0, Math.round(position)));
  return {
    last,
    position(value) {
      const number = inUnit(parameter, value);
      return clamp(((logarithmic ? Math.log10(number) : number) - from) / step);
    },
    value(position) {
      const number = from + clamp(position) * step;
      const digits = logarithmic ? 3 : 12;
      const exact = Number((logarithmic ? 10 ** number : number).toPrecision(digits));
      const round = parameter.unit === '1' ? Math.round(exact) : exact;
      return fromUnits(parameter, Math.min(high, Math.max(low, round)));
    },
  };
}

/** The value one step of the slider up or down, never the value itself. */
export function stepped(name: keyof typeof parameters, value: number, by: 1 | -1): number {
  const parameter = parameters[name];
  const scale = sliderScale(parameter);
  let position = scale.position(value);
  for (let i = 0; i < 3; i++) {
    position += by;
    const next = scale.value(position);
    if (by > 0 ? next > value * (1 + 1e-12) : next < value * (1 - 1e-12)) return next;
    if (value <= 0 && (by > 0 ? next > value : next < value)) return next;
  }
  return value;
}
