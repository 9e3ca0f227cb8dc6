import { formatNumber } from '../quantity/format-number';

/** A length in the unit that reads best: 40 µm, 0.1 mm, 300 mm, 1.2 m. */
export function shownLength(metres: number): string {
  const size = Math.abs(metres);
  if (size === 0) return '0 mm';
  if (size < 1e-6) return `${formatNumber(metres * 1e9)} nm`;
  if (size < 1e-3) return `${formatNumber(metres * 1e6)} µm`;
  if (size < 1) return `${formatNumber(metres * 1e3)} mm`;
  return `${formatNumber(metres)} m`;
}

/** `1 slit`, `3 slits`. */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}

/** Numbers joined as in a sentence: a, b and c. */
export function listed(items: readonly string[]): string {
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`;
}

/** A sentence, and behind it what can hurt where the strips are shown for real: each caution once. */
export function withCautions(
  sentence: string,
  strips: readonly { readonly caution?: string }[],
): string {
  const cautions = new Set(strips.flatMap(({ caution }) => caution ?? []));
  return [sentence, ...[...cautions].map((each) => `${each}.`)].join(' ');
}
