import csv from '../../data/cie_1931_2deg_1nm.csv';
import { linearInterpolant } from '../numerics/interpolation';
import { once } from '../numerics/once';

/** Columns of numbers from a CSV text, each turned by its own factor; `skip` is the number of heading lines. */
export function numberColumns(csv: string, skip: number, factors: readonly number[]): number[][] {
  const columns: number[][] = factors.map(() => []);
  for (const line of csv.trim().split(/\r?\n/).slice(skip)) {
    const cells = line.split(',');
    factors.forEach((factor, i) => {
      columns[i].push(Number(cells[i]) * factor);
    });
  }
  return columns;
}

/** The table's ends, m: nothing outside is seen. */
export const SEEN_FROM = 360e-9;
export const SEEN_TO = 830e-9;

/**
 * The CIE 1931 2° standard observer: x̄, ȳ, z̄ at every nanometre from 360 to 830 nm
 * (CIE 018:2019, ISO/CIE 11664-1). Wavelengths in m, in air.
 */
export const observer = once(() => {
  const [nanometres, x, y, z] = numberColumns(csv, 1, [1, 1, 1, 1]);
  return { wavelengths: nanometres.map((nm) => nm / 1e9), x, y, z };
});

const curves = once(() => {
  const { wavelengths, x, y, z } = observer();
  return [x, y, z].map((values) => linearInterpolant(wavelengths, values));
});

/**
 * x̄, ȳ, z̄ at one wavelength, straight between the table's nanometres, 0 outside it.
 *
 * @param wavelength λ, m
 * @returns the three values, without unit; ȳ is 1 near 555 nm
 * @see CIE 018:2019; ISO/CIE 11664-1
 * @example colourMatching(555e-9) // [0.51205, 1, 0.00575]
 */
export function colourMatching(wavelength: number): [number, number, number] {
  const [x, y, z] = curves();
  return [x(wavelength), y(wavelength), z(wavelength)];
}
