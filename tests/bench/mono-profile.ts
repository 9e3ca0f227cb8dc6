import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import type { Aperture } from '../../kernel-lib/aperture/aperture';
import { intensityProfile } from '../../kernel-lib/aperture/intensity';
import { telescopeView } from '../../kernel-lib/camera/telescope-view';
import { sunlightWithDarkLines } from '../../kernel-lib/light/dark-lines';
import { lamp } from '../../kernel-lib/light/lamp';
import type { Light } from '../../kernel-lib/light/light';
import { needs } from '../needs';
import { type Mode, rowOfSlits } from './parts/row-of-slits';
import { medianSeconds, milliseconds } from './parts/timing';

// The monochromatic profile of 20 slits at 100 000 positions against the same sum in NumPy.
const wavelength = 550e-9;
const count = 20;
const positions = 100_000;
const repeats = 15;

interface NumpyResult {
  seconds: number;
  way: string;
  numpy: string;
  samples: number[];
}

const evenly = (n: number) =>
  Float64Array.from({ length: n }, (_, i) => -0.05 + (0.1 * i) / (n - 1));

/** The same places in no order, so that no step is even. */
function shuffled(n: number): Float64Array {
  const s = evenly(n);
  for (let i = 0; i < n; i++) {
    const j = (i * 7919) % n;
    [s[i], s[j]] = [s[j], s[i]];
  }
  return s;
}

function seconds(aperture: Aperture, s: Float64Array, times = repeats): number {
  return medianSeconds(() => intensityProfile(aperture, wavelength, s), times, 8);
}

/** A pass over the positions that only reads, divides once and writes. */
function oneDivision(s: Float64Array): Float64Array {
  const out = new Float64Array(s.length);
  for (let i = 0; i < s.length; i++) out[i] = 1 / s[i];
  return out;
}

function numpy(python: string, mode: Mode): NumpyResult {
  const script = join(import.meta.dirname, 'mono-profile.py');
  const args = [script, count, positions, repeats, mode].map(String);
  return JSON.parse(execFileSync(python, args, { encoding: 'utf8' }));
}

/** Both must compute the same thing before their times are compared. */
function requireSame(theirs: number[], aperture: Aperture): void {
  const ours = intensityProfile(aperture, wavelength, evenly(positions));
  theirs.forEach((value, i) => {
    const mine = ours[i * Math.floor(positions / 50)];
    if (!(Math.abs(mine - value) < 1e-11)) throw new Error(`Point ${i}: ${mine}, NumPy ${value}`);
  });
}

export default async function monoProfile() {
  const { path, skip } = needs('scipy');
  if (skip) throw new Error(`mono-profile needs NumPy: ${skip}`);
  const s = evenly(positions);
  const lines: string[] = [];
  const compare = (mode: Mode) => {
    const aperture = rowOfSlits(count, mode);
    const theirs = numpy(path, mode);
    requireSame(theirs.samples, aperture);
    const ours = seconds(aperture, s);
    lines.push(
      `${count} ${mode} slits, ${positions} positions: ${milliseconds(ours)}; ` +
        `NumPy ${theirs.numpy} (${theirs.way}) ${milliseconds(theirs.seconds)}`,
    );
    return { ours, baseline: theirs.seconds, ratio: theirs.seconds / ours };
  };
  const equal = compare('equal');
  const bare = medianSeconds(() => oneDivision(s), repeats, 8);
  lines.push(`one division a position and nothing else, as a floor: ${milliseconds(bare)}`);
  const uneven = compare('uneven');
  lines.push(`uneven slits: ${uneven.ratio.toFixed(2)} times faster`);
  for (const mode of ['equal', 'uneven'] as const) {
    const scattered = seconds(rowOfSlits(count, mode), shuffled(positions), 3);
    lines.push(`${count} ${mode} slits, positions in no order: ${milliseconds(scattered)}`);
  }
  const byPositions = [25_000, 50_000, 100_000, 200_000].map(
    (n) => `${n}: ${milliseconds(seconds(rowOfSlits(count, 'uneven'), evenly(n), 5))}`,
  );
  lines.push(`growth with positions, 20 uneven slits: ${byPositions.join(', ')}`);
  for (const mode of ['equal', 'uneven'] as const) {
    const bySlits = [5, 10, 20, 40].map(
      (n) => `${n}: ${milliseconds(seconds(rowOfSlits(n, mode), s, 5))}`,
    );
    lines.push(`growth with ${mode} slits, 100 000 positions: ${bySlits.join(', ')}`);
  }
  return [{ name: 'mono-profile', ...equal, aim: 3, note: lines.join('\n') }, ...manyLines()];
}

// The eyepiece of a spectrometer with 50 000 lines of a grating against the same with 50.
function manyLines() {
  const field = { spacing: 1e-3 / 600, sourceWidth: 30e-6, telescope: 0.36 };
  const view = (light: Light, lines: number) => () => telescopeView(light, { ...field, lines });
  return [['sunlight', sunlightWithDarkLines()] as const, ['sodium', lamp('sodium')] as const].map(
    ([name, light]) => {
      const [few, many] = [50, 50_000].map((lines) => medianSeconds(view(light, lines), 41, 20));
      return {
        name: `eyepiece-${name}`,
        ours: many,
        baseline: few,
        ratio: few / many,
        aim: 1,
        note: '1201 places of a field of 3°, 600 lines per mm: 50 000 lines against 50',
      };
    },
  );
}
