import type { Axis } from '../chart';
import { linearTicks, logTicks, type Tick } from './ticks';

/** Maps an axis onto the picture. */
export interface Scale {
  readonly at: (value: number) => number;
  readonly ticks: readonly Tick[];
}

/**
 * The scale of an axis over the pixels `from` … `to`, with about one tick per `room` pixels.
 * Values that a logarithmic axis cannot show fall far below its lower end.
 */
export function scaleOf(
  axis: Axis,
  [low, high]: readonly [number, number],
  from: number,
  to: number,
  room: number,
): Scale {
  const count = Math.max(2, Math.floor(Math.abs(to - from) / room));
  const map = axis.log ? (v: number) => Math.log10(Math.max(v, low * 1e-3)) : (v: number) => v;
  const start = map(low);
  const perUnit = (to - from) / (map(high) - start);
  const ticks = axis.ticks ?? (axis.log ? logTicks : linearTicks)(low, high, count);
  return { at: (value) => from + (map(value) - start) * perUnit, ticks };
}
