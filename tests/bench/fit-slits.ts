// Fit 1000 points with 5 parameters, and with a blur as the sixth: fitSlits against scipy.optimize.curve_fit, same model,
// start and minimum.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fitCurve } from '../../kernel-lib/fitting/fit-curve';
import { fitSlits } from '../../kernel-lib/fitting/slits/fit-slits';
import type { SlitFitOptions } from '../../kernel-lib/fitting/slits/slit-options';
import { slitProfile } from '../../kernel-lib/fitting/slits/slit-profile';
import { seeded } from '../../kernel-lib/numerics/random';
import { medianSeconds, milliseconds } from './parts/timing';

const wavelength = 546.1e-9;
const focalLength = 0.5;
const repeats = 41;
const order = ['width', 'spacing', 'amplitude', 'background', 'centre'] as const;

const model = (
  x: number,
  [width, spacing, amplitude, background, centre]: readonly number[],
): number => {
  const q = Math.sin(Math.atan((x - centre) / focalLength)) / wavelength;
  const fringes = (1 + 2 * Math.cos(2 * Math.PI * spacing * q)) / 3;
  const u = Math.PI * width * q;
  const sinc = u === 0 ? 1 : Math.sin(u) / u;
  return background + amplitude * sinc * sinc * fringes * fringes;
};

const timed = (run: () => unknown) => medianSeconds(run, repeats, 100);

/** The script lies beside this file; the bundle that runs lies elsewhere, so it is looked for from the project's root. */
function baselineOf(job: object) {
  const script = 'tests/bench/fit-slits.py';
  if (!existsSync(script)) throw new Error(`${script} is missing: run from the project's root.`);
  const python = process.env.PYTHON ?? '/usr/bin/python3';
  const { stdout, stderr, error } = spawnSync(python, [script], {
    input: JSON.stringify(job),
    encoding: 'utf8',
  });
  if (error || !stdout) {
    throw new Error(
      `The baseline needs Python with scipy (${python}; set PYTHON to another): ${error?.message ?? stderr}`,
    );
  }
  return JSON.parse(stdout) as {
    seconds: number;
    parameters: number[];
    u: number[];
    chiSquare: number;
    scipy: string;
  };
}

const three = { count: 3, width: 40e-6, spacing: 100e-6, wavelength, focalLength };
const start = [36e-6, 99e-6, 900, 10, 0];

/** Both fits of one profile from one start, in the same run. @throws when they do not end at the same minimum */
function compare(
  visibility: number,
  names: readonly ((typeof order)[number] | 'blur')[],
  first: readonly number[],
  known: SlitFitOptions,
) {
  const made = { ...three, points: 1000, centre: 12e-6, visibility };
  const profile = slitProfile(seeded('bench'), made);
  const guesses = Object.fromEntries(names.map((name, j) => [name, first[j]]));
  const fit = fitSlits(profile, { ...known, start: guesses });
  const ours = timed(() => fitSlits(profile, { ...known, start: guesses }));
  const list = { x: [...profile.x], y: [...profile.y], u: [...profile.u!] };
  const baseline = baselineOf({ ...list, wavelength, focalLength, start: first, repeats });
  const deviation = Math.max(
    ...names.map((name, j) => Math.abs(fit[name].value - baseline.parameters[j]) / fit[name].u),
  );
  if (!fit.converged || fit.chiSquare > baseline.chiSquare * (1 + 1e-9) || deviation > 1e-2) {
    throw new Error(
      `Not the same minimum: χ² ${fit.chiSquare} against ${baseline.chiSquare}, parameters apart by ${deviation} u.`,
    );
  }
  const searching = timed(() => fitSlits(profile, known));
  const note = `1000 points, ${first.length} parameters; scipy ${baseline.scipy}; both χ² ${fit.chiSquare.toFixed(6)}, parameters agree to ${deviation.toExponential(1)} u; fitSlits that finds its own start: ${milliseconds(searching, 1)}`;
  const { seconds } = baseline;
  return [profile, { ours, baseline: seconds, ratio: seconds / ours, note }] as const;
}

export default async () => {
  const known = { wavelength, focalLength, count: 3 };
  const [profile, { note, ...sharp }] = compare(1, order, start, {
    ...{ ...known, fixed: { visibility: 1 } },
  });
  const plain = timed(() => fitCurve(model, profile, start));
  const [, blurred] = compare(0.9, [...order, 'blur'], [...start, 5e-4], { ...known, blur: 'box' });
  return [
    {
      ...{ name: 'fit-slits', ...sharp, aim: 2 },
      note: `${note}; fitCurve with the model as a function of one point, derivatives by differences: ${milliseconds(plain, 1)}`,
    },
    { name: 'fit-slits-blurred', ...blurred, aim: 2 },
  ];
};
