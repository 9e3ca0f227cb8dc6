import { checkLight, type Light } from '../light/light';
import { type SpectralWeights, spectralWeights } from '../light/xyz';
import { coherenceNodes, firstIntegral, secondIntegral } from './coherence';
import {
  CHANNELS,
  type ChannelSum,
  cubicSpline,
  type Lines,
  linesOf,
  quinticSpline,
  type Spline,
} from './spline';

/** A spectrum in steps of 1 nm stands for the light up to this |c s|, m; beyond it the steps are made finer. */
const REACH_OF_STEP = 100e-6;
/** Largest |c s|, m: building a table takes a second there, and more as the square. */
export const FARTHEST = 1e-3;
/** Intervals to each 60 nm of the quintic and of the cubic splines: 10 nm and 5 nm long. */
const QUINTIC_PARTS = 6;
const CUBIC_PARTS = 12;

/** Which table: the coherence, twice integrated, M itself, or its first or second integral over directions; for the cosine or the sine. */
export type Kind = 'even' | 'odd' | 'even once' | 'odd once' | 'even twice' | 'odd twice';

/** Tables of one light for three channels, built as they are needed. */
export interface LightTables {
  /** The light as a finite sum, with steps fine enough for lags c and sines s of this |c s|, m. */
  sum(reach: number): ChannelSum;
  /** Sums of the weights over the wavelengths, by channel. */
  whole(reach: number): Float64Array;
  /** Spline of degree 3, of M at |c s| up to `reach`, m. */
  cubic(reach: number): Spline;
  /** The same as nodes to be joined by straight lines, which is good enough where M has faded. */
  lines(reach: number): Lines;
  /** Spline of degree 5 up to `reach`, m, from the sum that is good for `farthest`. */
  quintic(kind: Kind, reach: number, farthest: number): Spline;
}

/** A light made ready for film strips. */
export interface PreparedLight {
  readonly light: Light;
  /** X, Y, Z. */
  readonly colour: LightTables;
  /** Power, in the middle channel; the others stay 0. */
  readonly power: LightTables;
}

const known = new WeakMap<Light, PreparedLight>();

/**
 * Make a light ready, once: the same object gives the same tables again, so keep a filtered light
 * rather than make it anew for each strip, and make a new light rather than change one. Tables are
 * built when a strip first needs them.
 *
 * @param light any light
 * @returns the light with its tables
 * @throws RangeError, TypeError for an empty, dark or disordered spectrum
 * @example prepare(sunlight()) === prepare(sunlight()) // true
 */
export function prepare(light: Light): PreparedLight {
  checkLight(light);
  let prepared = known.get(light);
  if (!prepared) {
    prepared = {
      light,
      colour: lightTables((step) => spectralWeights(light, step)),
      power: lightTables((step) => powerOf(spectralWeights(light, step))),
    };
    known.set(light, prepared);
  }
  return prepared;
}

function powerOf({ wavelengths, power }: SpectralWeights): ChannelSum {
  const weights = new Float64Array(CHANNELS * power.length);
  power.forEach((value, i) => {
    weights[CHANNELS * i + 1] = value;
  });
  return { wavelengths, weights };
}

function lightTables(sumInSteps: (step: number) => ChannelSum): LightTables {
  const sums = new Map<number, { sum: ChannelSum; whole: Float64Array }>();
  const tables = new Map<string, Spline>();

  /** The light in steps of 1 nm divided by `pieces`. */
  const summed = (pieces: number) => {
    let found = sums.get(pieces);
    if (!found) {
      const sum = sumInSteps(1e-9 / pieces);
      const whole = new Float64Array(CHANNELS);
      sum.weights.forEach((weight, i) => {
        whole[i % CHANNELS] += weight;
      });
      found = { sum, whole };
      sums.set(pieces, found);
    }
    return found;
  };

  /** The table of this name; one that is too short is made anew, half as long again, since sliders move in small steps. */
  const table = (
    name: string,
    perInterval: number,
    reach: number,
    make: (reach: number) => Spline,
  ): Spline => {
    const before = tables.get(name);
    const length = before ? (before.coefficients.length / perInterval) * before.step : 0;
    if (before && length > reach) return before;
    const made = make(Math.max(reach, 1.5 * length));
    tables.set(name, made);
    return made;
  };

  const cubicTable = (reach: number): Spline => {
    const pieces = piecesFor(reach);
    return table(`cubic ${pieces}`, 4 * CHANNELS, reach, (length) =>
      cubicSpline(
        coherenceNodes(summed(pieces).sum, length, { parts: CUBIC_PARTS, curved: false }),
      ),
    );
  };
  const lines = new WeakMap<Spline, Lines>();

  return {
    sum: (reach) => summed(piecesFor(reach)).sum,
    whole: (reach) => summed(piecesFor(reach)).whole,
    cubic: cubicTable,
    lines(reach) {
      const spline = cubicTable(reach);
      const found = lines.get(spline) ?? linesOf(spline);
      lines.set(spline, found);
      return found;
    },
    quintic(kind, reach, farthest) {
      const pieces = piecesFor(farthest);
      return table(`${kind} ${pieces}`, 6 * CHANNELS, reach, (length) =>
        quinticOf(kind, summed(pieces).sum, length),
      );
    },
  };
}

function quinticOf(kind: Kind, sum: ChannelSum, reach: number): Spline {
  const coherence = coherenceNodes(sum, reach, {
    parts: QUINTIC_PARTS,
    odd: kind.startsWith('odd'),
  });
  const spline = quinticSpline(coherence);
  if (!/once|twice/.test(kind)) return spline;
  const once = firstIntegral(coherence, spline);
  return kind.endsWith('once')
    ? quinticSpline(once)
    : quinticSpline(secondIntegral(once, quinticSpline(once)));
}

function piecesFor(reach: number): number {
  return Math.max(1, Math.ceil(reach / REACH_OF_STEP - 1e-9));
}
