/** Exponents of the base quantities that sheets use. An angle counts as one, so that a length is never taken for an angle. */
export interface Dimension {
  readonly length: number;
  readonly angle: number;
  readonly time: number;
  readonly temperature: number;
}

export const plainNumber: Dimension = { length: 0, angle: 0, time: 0, temperature: 0 };

const bases = ['length', 'angle', 'time', 'temperature'] as const;

/** `a` times `b` to the given power. */
export function combineDimensions(a: Dimension, b: Dimension, power: number): Dimension {
  const entries = bases.map((base) => [base, a[base] + power * b[base]]);
  return Object.fromEntries(entries) as unknown as Dimension;
}

/** In words, with an article: "an angle", "a length", "a number per length". */
export function describeDimension(dimension: Dimension): string {
  const known: Record<string, string> = {
    '0 0 0 0': 'a plain number',
    '1 0 0 0': 'a length',
    '2 0 0 0': 'an area',
    '-1 0 0 0': 'a number per length',
    '0 1 0 0': 'an angle',
    '-1 1 0 0': 'an angle per length',
    '0 0 1 0': 'a time',
    '0 0 -1 0': 'a frequency',
    '0 0 0 1': 'a temperature',
  };
  return known[bases.map((base) => dimension[base]).join(' ')] ?? 'a quantity of another kind';
}

/** The SI unit in which values of this dimension are kept: `m`, `rad`, `1/m` … */
export function siUnit(dimension: Dimension): string {
  const names = { length: 'm', angle: 'rad', time: 's', temperature: 'K' } as const;
  const over = bases.filter((base) => dimension[base] > 0);
  const under = bases.filter((base) => dimension[base] < 0);
  const write = (base: (typeof bases)[number]) => {
    const power = Math.abs(dimension[base]);
    return power === 1 ? names[base] : `${names[base]}^${power}`;
  };
  return [over.map(write).join(' ') || '1', ...under.map(write)].join('/');
}
