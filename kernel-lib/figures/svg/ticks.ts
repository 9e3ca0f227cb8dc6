/** A place on an axis and what is written there. */
export interface Tick {
  readonly at: number;
  readonly label: string;
}

/** The next round step, 1, 2 or 5 times a power of ten, that is not below `step`. */
export function roundStep(step: number): number {
  const power = 10 ** Math.floor(Math.log10(step));
  for (const digit of [1, 2, 5]) {
    if (digit * power >= step * (1 - 1e-9)) return digit * power;
  }
  return 10 * power;
}

const raised = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** An exponent in raised figures: −3 → ⁻³. */
export function superscript(exponent: number): string {
  const digits = [...String(Math.abs(exponent))].map((d) => raised[Number(d)]).join('');
  return exponent < 0 ? `⁻${digits}` : digits;
}

/** A number as print writes it: a true minus sign, as many decimals as the step needs. */
export function tickLabel(value: number, step: number): string {
  if (Math.abs(value) < step * 1e-6) return '0';
  const exponent = Math.floor(Math.log10(Math.abs(value)) + 1e-9);
  if (exponent >= 5 || Math.floor(Math.log10(step) + 1e-9) < -4) {
    const mantissa = Number((value / 10 ** exponent).toPrecision(4));
    return `${mantissa}×10${superscript(exponent)}`.replace('-', '−');
  }
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  return value.toFixed(decimals).replace('-', '−');
}

/** Round ticks from `low` to `high`, at most about `count` of them. */
export function linearTicks(low: number, high: number, count: number): Tick[] {
  const step = roundStep((high - low) / Math.max(1, count));
  const ticks: Tick[] = [];
  for (let k = Math.ceil(low / step - 1e-6); k * step <= high + step * 1e-6; k++) {
    ticks.push({ at: k * step, label: tickLabel(k * step, step) });
  }
  return ticks;
}

/** Ticks at powers of ten; every second or third power where they would stand too close. */
export function logTicks(low: number, high: number, count: number): Tick[] {
  const first = Math.ceil(Math.log10(low) - 1e-9);
  const last = Math.floor(Math.log10(high) + 1e-9);
  if (last - first < 1) return linearTicks(low, high, count).filter((tick) => tick.at > 0);
  const every = Math.max(1, Math.ceil((last - first + 1) / count));
  const ticks: Tick[] = [];
  for (let k = last; k >= first; k -= every) {
    const label = k === 0 ? '1' : `10${superscript(k)}`;
    ticks.unshift({ at: 10 ** k, label });
  }
  return ticks;
}
