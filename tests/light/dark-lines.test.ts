import { expect, test } from 'vitest';
import { darkLines, lamp, sunlight, sunlightWithDarkLines } from '../../kernel-lib/index';
import { linearInterpolant } from '../../kernel-lib/numerics/interpolation';

const powerOf = ({ continuum }: ReturnType<typeof sunlight>) =>
  linearInterpolant(continuum!.wavelengths, continuum!.power);

test('Fraunhofer’s letters stand where the lamps of their elements shine', () => {
  const at = (letter: string) => darkLines().find(({ name }) => name === letter)!.wavelength;
  const shines = (name: 'sodium' | 'hydrogen', part: string) =>
    lamp(name).lines!.find(({ label }) => label!.includes(part))!.wavelength;
  // The table of lamps is from another source; the sun's lines are a little displaced and broad.
  for (const [letter, line] of [
    ['D1', shines('sodium', 'D1')],
    ['D2', shines('sodium', 'D2')],
    ['C', shines('hydrogen', 'alpha')],
    ['F', shines('hydrogen', 'beta')],
    ['G′', shines('hydrogen', 'gamma')],
    ['h', shines('hydrogen', 'delta')],
  ] as const)
    expect(Math.abs(at(letter) - line)).toBeLessThan(0.004e-9);
  expect(darkLines().filter(({ width }) => width > 0)).toHaveLength(43);
});

test('a line takes away the light of a black strip as wide as its equivalent width', () => {
  const fine = powerOf(sunlightWithDarkLines());
  // Of C and F, which stand alone: ∫ (1 − P/P₀) dλ over ±1.2 nm, P₀ from both sides. The table of sunlight, which is
  // kept on the whole, has both up to two fifths weaker than the monograph.
  for (const letter of ['C', 'F']) {
    const { wavelength, width, depth } = darkLines().find(({ name }) => name === letter)!;
    const base = (fine(wavelength - 1.2e-9) + fine(wavelength + 1.2e-9)) / 2;
    expect(fine(wavelength) / base).toBeCloseTo(1 - depth, 1);
    let missing = 0;
    const step = 1e-12;
    for (let off = -1.2e-9; off <= 1.2e-9; off += step)
      missing += (1 - fine(wavelength + off) / base) * step;
    expect(Math.abs(missing / width - 1)).toBeLessThan(0.4);
  }
});

test('seen through a nanometre it is the sunlight of ASTM G173 again', () => {
  const [fine, table] = [powerOf(sunlightWithDarkLines()), powerOf(sunlight())];
  /** Mean over ±1 nm, weighted as a triangle. */
  const smooth = (power: (at: number) => number, nm: number) => {
    let sum = 0;
    for (let k = -200; k <= 200; k++) sum += (1 - Math.abs(k) / 201) * power((nm + k / 200) * 1e-9);
    return sum;
  };
  for (let nm = 402; nm < 700; nm++)
    expect(Math.abs(smooth(fine, nm) / smooth(table, nm) - 1)).toBeLessThan(0.1);
});
