import type { Light } from '../light/light';
import { type SpectralWeights, spectralWeights } from '../light/spectral-weights';
import { CELL, kernelNodes } from './kernel-table';
import { CHANNELS, quinticCells } from './quintic-cells';

/** A spectrum in steps of 1 nm stands for the light up to this |c s|, m; beyond it the steps are made finer. */
const REACH_OF_STEP = 100e-6;
/** Largest |c s|, m: tables beyond it would take more than 80 MB. */
export const FARTHEST = 4e-3;

/** One table of the light's kernel, good for |c s| up to `reach`. */
export interface KernelTable {
  readonly reach: number;
  readonly perMetre: number;
  readonly cells: Float64Array;
}

/** A light made ready for film strips: its sum and, as they are needed, its tables. */
export interface PreparedLight {
  readonly light: Light;
  /** The light as a finite sum, with steps fine enough for lags c and sines s of this |c s|, m. */
  sum(reach: number): SpectralWeights;
  /** Sum over wavelengths of the weights of X, Y, Z and power. */
  whole(reach: number): Float64Array;
  /** The table for |c s| up to `reach`, m. */
  table(reach: number, odd?: boolean): KernelTable;
}

const known = new WeakMap<Light, PreparedLight>();

/**
 * Make a light ready, once: the same object gives the same tables again, so keep a filtered light
 * rather than make it anew for each strip.
 *
 * @param light any light
 * @returns the light with its tables, which are built when first asked for
 * @throws as `checkLight` when the first table is built
 * @example prepare(sunlight()) === prepare(sunlight()) // true
 */
export function prepare(light: Light): PreparedLight {
  let prepared = known.get(light);
  if (!prepared) {
    prepared = preparedLight(light);
    known.set(light, prepared);
  }
  return prepared;
}

function preparedLight(light: Light): PreparedLight {
  const sums = new Map<number, SpectralWeights>();
  const tables = new Map<string, KernelTable>();
  const sum = (reach: number) => {
    const pieces = piecesFor(reach);
    return remembered(sums, pieces, () => spectralWeights(light, 1e-9 / pieces));
  };
  return {
    light,
    sum,
    whole(reach) {
      const { weights } = sum(reach);
      const whole = new Float64Array(CHANNELS);
      weights.forEach((weight, i) => {
        whole[i % CHANNELS] += weight;
      });
      return whole;
    },
    table(reach, odd = false) {
      const key = `${piecesFor(reach)} ${odd}`;
      const before = tables.get(key);
      if (before && before.reach >= reach) return before;
      const cells = Math.ceil(reach / CELL) + 1;
      const table = {
        reach: (cells - 1) * CELL,
        perMetre: 1 / CELL,
        cells: quinticCells(kernelNodes(sum(reach), cells, odd)),
      };
      tables.set(key, table);
      return table;
    },
  };
}

function piecesFor(reach: number): number {
  return Math.max(1, Math.ceil(reach / REACH_OF_STEP - 1e-9));
}

function remembered<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  let value = map.get(key);
  if (value === undefined) {
    value = make();
    map.set(key, value);
  }
  return value;
}
