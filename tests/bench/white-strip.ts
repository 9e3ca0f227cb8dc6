import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { type Aperture, slits } from '../../kernel-lib/aperture/aperture';
import { filmStrip } from '../../kernel-lib/camera/film-strip';
import { prepare } from '../../kernel-lib/camera/prepared-light';
import { whitePattern } from '../../kernel-lib/camera/white-pattern';
import { illuminant } from '../../kernel-lib/light/illuminant';
import type { Light } from '../../kernel-lib/light/light';
import { adaptationFrom } from '../../kernel-lib/light/white-balance';
import { xyz } from '../../kernel-lib/light/xyz';
import { linearInterpolant } from '../../kernel-lib/numerics/interpolation';
import { needs } from '../needs';
import { type Mode, rowOfSlits, spacing, width } from './parts/row-of-slits';
import { medianSeconds, milliseconds, sortedSeconds } from './parts/timing';

// A white-light film strip of 20 slits, 1200 positions, 401 wavelengths, against the same strip by NumPy's plain sum.
const options = { span: 0.052, points: 1200 };

type Way = Mode | 'closed';
interface NumpyResult {
  seconds: number;
  sumSeconds: number;
  way: string;
  numpy: string;
  sums: number[];
  srgb: number[];
}

/** Daylight D65 at 380, 381 … 780 nm; a new object each time, so that nothing is prepared for it yet. */
function daylight(): Light {
  const { wavelengths, power } = illuminant('D65').continuum!;
  const grid = Array.from({ length: 401 }, (_, i) => (380 + i) / 1e9);
  const sampled = grid.map(linearInterpolant(wavelengths, power));
  return { name: 'daylight', continuum: { wavelengths: grid, power: sampled } };
}

/** The fastest of many: how cost grows, whatever else the machine does in between. */
function fastestSeconds(work: () => unknown): number {
  return sortedSeconds(work, 61, 30)[0];
}

/** Without the 512-bit instructions that NumPy's sine takes where it finds them, and that no browser or Node uses. */
const narrow = {
  NPY_DISABLE_CPU_FEATURES: 'AVX512F AVX512CD AVX512_SKX AVX512_CLX AVX512_CNL AVX512_ICL',
};

function numpy(python: string, mode: Way, s: Float64Array, env = {}): NumpyResult {
  const { colour } = prepare(daylight());
  const { wavelengths, weights } = colour.sum(0);
  const input = JSON.stringify({
    slits: 20,
    width,
    spacing,
    s: [...s],
    wavelengths: [...wavelengths],
    weights: [...weights],
    ahead: colour.whole(0)[1],
    adaptation: adaptationFrom(xyz(daylight())),
    exposure: 1,
    repeats: mode === 'closed' ? 21 : 3,
    mode,
  });
  const script = join(import.meta.dirname, 'white-strip.py');
  const answer = execFileSync(python, [script], {
    input,
    encoding: 'utf8',
    maxBuffer: 1 << 26,
    env: { ...process.env, ...env },
    stdio: ['pipe', 'pipe', 'ignore'],
  });
  return JSON.parse(answer);
}

/** Both must compute the same thing before their times are compared. */
function requireSame({ sums, srgb }: NumpyResult, aperture: Aperture, s: Float64Array): void {
  const prepared = prepare(daylight()).colour;
  const ours = whitePattern(aperture, prepared, s);
  const whole = prepared.whole(0);
  sums.forEach((sum, o) => {
    const mine = (ours[o] * whole[1]) / whole[o % 3];
    const theirs = sum / whole[o % 3];
    if (!(Math.abs(mine - theirs) < 1e-6)) throw new Error(`Sum ${o}: ${mine}, NumPy ${theirs}`);
  });
  const colours = filmStrip(aperture, daylight(), options).srgb;
  srgb.forEach((level, o) => {
    if (Math.abs(level - colours[o]) > 1) {
      throw new Error(`Level ${o}: ${colours[o]}, NumPy ${level}`);
    }
  });
}

export default async function whiteStrip() {
  const { path, skip } = needs('scipy');
  if (skip) throw new Error(`white-strip needs NumPy: ${skip}`);
  const light = daylight();
  const equal = rowOfSlits(20, 'equal');
  const { s } = filmStrip(equal, light, options);
  const strip = (aperture: Aperture, times: number) =>
    medianSeconds(() => filmStrip(aperture, light, options), times, 30);
  const fastest = (aperture: Aperture, points: number) =>
    fastestSeconds(() => filmStrip(aperture, light, { ...options, points }));

  const plain = numpy(path, 'equal', s);
  requireSame(plain, equal, s);
  const closed = numpy(path, 'closed', s);
  requireSame(closed, equal, s);
  const closedNarrow = numpy(path, 'closed', s, narrow);
  const ready = strip(equal, 301);
  const first = medianSeconds(() => filmStrip(equal, daylight(), options), 21, 25);

  const unevenAperture = rowOfSlits(20, 'uneven');
  const unevenPlain = numpy(path, 'uneven', s);
  requireSame(unevenPlain, unevenAperture, s);
  const uneven = strip(unevenAperture, 31);

  const grown = (entries: [number, number][]) =>
    entries.map(([n, taken]) => `${n}: ${milliseconds(taken)}`).join(', ');
  const byPositions = [600, 1200, 2400, 4800].map((n): [number, number] => [n, fastest(equal, n)]);
  const byLags = [5, 10, 20, 40].map((n): [number, number] => [
    3 * n - 2,
    fastest(slits(n, { width, spacing }), 1200),
  ]);
  const lookUps = 58 * 600;
  const told = ({ numpy, way, sumSeconds }: NumpyResult) =>
    `NumPy ${numpy}, ${way} (${milliseconds(sumSeconds)}) and the same screen colours from it`;
  return [
    {
      name: 'white-strip',
      ours: ready,
      baseline: plain.seconds,
      ratio: plain.seconds / ready,
      aim: 30,
      note: [
        `${told(plain)}: the sum over slits and wavelengths, good for any aperture as ours is; total and sentence of ours follow when read`,
        `one look-up (three channels of a polynomial or a line) with all else shared out: ${((ready / lookUps) * 1e9).toFixed(1)} ns`,
        `growth with positions, 20 slits, fastest of 61: ${grown(byPositions)}`,
        `growth with lags, 1200 positions, fastest of 61: ${grown(byLags)}`,
      ].join('\n'),
    },
    {
      name: 'white-strip-closed',
      ours: ready,
      baseline: closed.seconds,
      ratio: closed.seconds / ready,
      note: `${told(closed)}: (sin Nα / sin α)² for each wavelength, which only equal slits have and ours does not use`,
    },
    {
      name: 'white-strip-closed-avx2',
      ours: ready,
      baseline: closedNarrow.seconds,
      ratio: closedNarrow.seconds / ready,
      note: 'the same against NumPy kept to 256-bit instructions, as on most machines of students',
    },
    {
      name: 'white-strip-first',
      ours: first,
      baseline: closed.seconds,
      ratio: closed.seconds / first,
      aim: 1,
      note: 'against the closed form, the light’s tables built within the time',
    },
    {
      name: 'white-strip-uneven',
      ours: uneven,
      baseline: unevenPlain.seconds,
      ratio: unevenPlain.seconds / uneven,
      note: `20 slits of uneven places and widths, ${unevenPlain.way} in NumPy: here the lags are many`,
    },
  ];
}
