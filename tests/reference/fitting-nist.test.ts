// Source: NIST Statistical Reference Datasets, nonlinear regression (public domain), files in nist-strd/.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { fitCurve } from '../../kernel-lib/fitting/fit-curve';

type Model = (x: number, b: readonly number[]) => number;
const { exp } = Math;

const threeDecays: Model = (x, [b1, b2, b3, b4, b5, b6]) =>
  b1 * exp(-b2 * x) + b3 * exp(-b4 * x) + b5 * exp(-b6 * x);

/**
 * Digits that doubles can give: all but those of Lanczos1, whose residuals are 9e-14, so that the rounding of a model near
 * 1 changes their sum of squares in its third digit. (Its numbers were read in a copy of NIST's text, and agree with the
 * formula that it states.)
 */
const roundedSum = ['Lanczos1'];

/** The models as the files print them. */
const models: Record<string, Model> = {
  Misra1a: (x, [b1, b2]) => b1 * (1 - exp(-b2 * x)),
  Rat42: (x, [b1, b2, b3]) => b1 / (1 + exp(b2 - b3 * x)),
  Lanczos1: threeDecays,
  Lanczos3: threeDecays,
  MGH17: (x, [b1, b2, b3, b4, b5]) => b1 + b2 * exp(-x * b4) + b3 * exp(-x * b5),
  Gauss1: (x, [b1, b2, b3, b4, b5, b6, b7, b8]) =>
    b1 * exp(-b2 * x) + b3 * exp(-((x - b4) ** 2) / b5 ** 2) + b6 * exp(-((x - b7) ** 2) / b8 ** 2),
};

function readSet(name: string) {
  const text = readFileSync(new URL(`nist-strd/${name}.dat`, import.meta.url), 'utf8');
  const table = [...text.matchAll(/^\s*b\d+ =\s+(\S+)\s+(\S+)\s+(\S+)\s+(\S+)/gm)].map((row) =>
    row.slice(1).map(Number),
  );
  const data = text
    .slice(text.lastIndexOf('Data:'))
    .split('\n')
    .slice(1)
    .map((line) => line.trim().split(/\s+/).map(Number))
    .filter((row) => row.length === 2);
  const column = (k: number) => table.map((row) => row[k]);
  return {
    starts: [column(0), column(1)],
    certified: column(2),
    deviations: column(3),
    sum: Number(/Residual Sum of Squares:\s+(\S+)/.exec(text)?.[1]),
    observations: Number(/Number of Observations:\s+(\d+)/.exec(text)?.[1]),
    x: data.map((row) => row[1]),
    y: data.map((row) => row[0]),
  };
}

/** Digits that agree: the usual log relative error of these data sets. */
const digits = (value: number, certified: number) =>
  -Math.log10(Math.abs(value - certified) / Math.abs(certified) + 1e-16);

describe.each(Object.entries(models))('%s', (name, model) => {
  const set = readSet(name);

  test('the file was read whole', () => {
    expect(set.x).toHaveLength(set.observations);
    expect(set.certified.length).toBeGreaterThan(1);
  });

  test.each([0, 1])(
    'start %i + 1: 8 digits of each parameter, 6 of each standard deviation',
    (k) => {
      const [ofDeviation, ofSum] = roundedSum.includes(name) ? [2, 2] : [6, 8];
      const fit = fitCurve(model, set, set.starts[k]);
      expect(fit.converged).toBe(true);
      for (const [j, { value, u }] of fit.parameters.entries()) {
        expect(digits(value, set.certified[j])).toBeGreaterThan(8);
        expect(digits(u, set.deviations[j])).toBeGreaterThan(ofDeviation);
      }
      expect(digits(fit.chiSquare, set.sum)).toBeGreaterThan(ofSum);
    },
  );

  test('the same in units a million times smaller', () => {
    const k = 1e-6;
    const fit = fitCurve(
      (x, b) => k * model(x, b),
      { x: set.x, y: set.y.map((y) => k * y) },
      set.starts[1],
    );
    expect(fit.converged).toBe(true);
    const ofDeviation = roundedSum.includes(name) ? 2 : 6;
    for (const [j, { value, u }] of fit.parameters.entries()) {
      expect(digits(value, set.certified[j])).toBeGreaterThan(8);
      expect(digits(u, set.deviations[j])).toBeGreaterThan(ofDeviation);
    }
  });
});
