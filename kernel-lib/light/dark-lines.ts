import csv from '../../data/dark_lines.csv';
import { linearInterpolant } from '../numerics/interpolation';
import { once } from '../numerics/once';
import type { Light } from './light';
import { sunlight } from './sunlight';

/** One dark line of sunlight. Lengths in m. */
export interface DarkLine {
  /** The letter it is known by, such as `D1`; empty for most. */
  readonly name: string;
  /** What absorbs: `Na I`, `H alpha`; `O2 of the air` where a band begins that the earth's air leaves. */
  readonly species: string;
  /** In air. */
  readonly wavelength: number;
  /** Equivalent width: that of a wholly black strip which would take away as much light; 0 for a band of the air. */
  readonly width: number;
  /** Share of the light that is missing in its middle, 0…1. */
  readonly depth: number;
}

/**
 * The strongest 43 dark lines of sunlight from 380 to 660 nm, and where three bands of the air begin, by wavelength.
 *
 * Wavelengths to 0.002 nm or better; equivalent widths to a few per cent at the middle of the sun's disc; depths
 * are rough and from memory. data/dark_lines.csv says of each value where it comes from.
 *
 * @returns the lines, m, in air
 * @see Moore, Minnaert, Houtgast, NBS Monograph 61 (1966), as data/SOURCES.md says
 * @example darkLines().find(({ name }) => name === 'D1').wavelength // 589.5924e-9
 */
export const darkLines: () => readonly DarkLine[] = once(() =>
  csv
    .trim()
    .split(/\r?\n/)
    .slice(1)
    .map((line) => {
      const [name, species, air, width, depth] = line.split(',');
      return {
        name,
        species,
        wavelength: Number(air) / 1e9,
        width: Number(width) / 1e9,
        depth: Number(depth),
      };
    })
    .sort((a, b) => a.wavelength - b.wavelength),
);

/** What the dark lines of the table let through, each the shape of a damped resonance: 1 − D/(1 + (Δ/γ)²), γ = W/πD. */
function passed(wavelength: number): number {
  let share = 1;
  for (const { wavelength: middle, width, depth } of darkLines()) {
    if (width === 0) continue;
    const off = ((wavelength - middle) * Math.PI * depth) / width;
    share *= 1 - depth / (1 + off * off);
  }
  return share;
}

/** Within so many half-widths of a line its shape is sampled. */
const REACH = 60;
/** Samples of one side of a line: closer together towards its middle. */
const SAMPLES = 40;

/**
 * Sunlight with its dark lines as narrow as they are, for instruments that resolve less than a nanometre.
 *
 *   P(λ) = P₀(λ) Π (1 − D/(1 + ((λ − λₗ)/γ)²)),  γ = W / πD
 *
 * P₀ is made so that the mean over each step of the table of `sunlight` stays what that table says, which has these
 * lines as shallow dips. What is not in `darkLines`, the bands of air and thousands of weak lines, stays as there.
 *
 * @returns a light in air; its samples stand closer together in the lines
 * @see ASTM G173-03 and data/dark_lines.csv, as data/SOURCES.md says; the shape of a line is common practice, no source
 * @example sunlightWithDarkLines().name // 'sunlight'
 */
export const sunlightWithDarkLines: () => Light = once(() => {
  const sun = sunlight();
  const table = sun.continuum!;
  const smooth = table.wavelengths.map((at, i) => {
    const left = i > 0 ? at - table.wavelengths[i - 1] : 0;
    const right = i + 1 < table.wavelengths.length ? table.wavelengths[i + 1] - at : 0;
    return table.power[i] / meanPassed(at, left, right);
  });
  const base = linearInterpolant(table.wavelengths, smooth);
  const knots = new Set<number>(table.wavelengths);
  for (const { wavelength, width, depth } of darkLines()) {
    if (width === 0) continue;
    const half = width / (Math.PI * depth);
    for (let k = -SAMPLES; k <= SAMPLES; k++) {
      const off = Math.sign(k) * half * 0.1 * ((10 * REACH + 1) ** (Math.abs(k) / SAMPLES) - 1);
      knots.add(Number((wavelength + off).toPrecision(10)));
    }
  }
  const wavelengths = [...knots].sort((a, b) => a - b);
  return {
    name: sun.name,
    medium: 'air',
    caution: sun.caution,
    continuum: { wavelengths, power: wavelengths.map((at) => base(at) * passed(at)) },
  };
});

/** Mean of what the lines let through about a sample of a table, weighted as straight pieces between samples weigh it. */
function meanPassed(at: number, left: number, right: number): number {
  const STEPS = 100;
  let [sum, weights] = [0, 0];
  for (let k = -STEPS + 1; k < STEPS; k++) {
    const weight = (1 - Math.abs(k) / STEPS) * (k < 0 ? left : k > 0 ? right : (left + right) / 2);
    sum += weight * passed(at + (k / STEPS) * (k < 0 ? left : right));
    weights += weight;
  }
  return sum / weights;
}
