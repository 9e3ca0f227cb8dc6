/** One channel of a band: lane after lane, each `length` long. */
export interface Band {
  readonly length: number;
  readonly values: Float32Array;
  readonly saturated: Uint8Array;
  /** Distance of each lane from the band's middle, pixels. */
  readonly offsets: readonly number[];
}

/** Lanes brought into line: for every position, which cells of the band belong to it. */
export interface Straight {
  /** First position, pixels from the band's first. */
  readonly first: number;
  readonly length: number;
  /** cells[lane][position], an index into the lane, or −1 where the lane does not reach. */
  readonly cells: readonly Int32Array[];
}

/**
 * Bring tilted fringes into line: position t = i cos φ + v sin φ of pixel i in the lane at distance v, to the nearest
 * whole pixel. Nothing is interpolated, so the noise of neighbouring positions stays independent.
 *
 * @param tilt φ, rad
 */
export function straighten({ length, offsets }: Band, tilt: number): Straight {
  const middle = (length - 1) / 2;
  const reach = Math.ceil(
    length / 2 + Math.max(...offsets.map(Math.abs)) * Math.abs(Math.sin(tilt)),
  );
  const cells = offsets.map((v) => {
    const lane = new Int32Array(2 * reach + 1).fill(-1);
    for (let p = 0; p < lane.length; p++) {
      // The pixel whose position is nearest to p − reach.
      const i = Math.round(middle + (p - reach - v * Math.sin(tilt)) / Math.cos(tilt));
      if (i >= 0 && i < length) lane[p] = i;
    }
    return lane;
  });
  // Only positions that at least half of the lanes reach.
  const reached = (p: number) => cells.filter((lane) => lane[p] >= 0).length * 2 >= cells.length;
  let from = 0;
  while (from < 2 * reach && !reached(from)) from++;
  let to = 2 * reach + 1;
  while (to > from + 1 && !reached(to - 1)) to--;
  return {
    first: from - reach + middle,
    length: to - from,
    cells: cells.map((lane) => lane.subarray(from, to)),
  };
}

/**
 * The tilt that makes the averaged pattern sharpest: the largest Σ (difference of positions two apart)².
 *
 * @param largest search range ±, rad, default 10°
 * @returns φ, rad
 */
export function findTilt(band: Band, largest = Math.PI / 18): number {
  const extent = Math.max(...band.offsets) - Math.min(...band.offsets);
  if (extent < 4) return 0;
  // Lanes at the band's ends move by half a pixel from step to step.
  const fine = 0.5 / (extent / 2);
  const sharpness = (tilt: number) => sharpnessOf(band, straighten(band, tilt));
  const coarse = Math.max(fine, largest / 40);
  let best = 0;
  let top = -Infinity;
  for (let tilt = -largest; tilt <= largest + 1e-12; tilt += coarse) {
    const value = sharpness(tilt);
    if (value > top) [best, top] = [tilt, value];
  }
  for (let step = coarse / 2; step > fine / 8; step /= 2) {
    for (const tilt of [best - step, best + step]) {
      const value = sharpness(tilt);
      if (value > top) [best, top] = [tilt, value];
    }
  }
  return best;
}

function sharpnessOf({ values, length }: Band, straight: Straight): number {
  const mean = new Float64Array(straight.length);
  for (let p = 0; p < mean.length; p++) {
    let count = 0;
    for (const [v, lane] of straight.cells.entries()) {
      if (lane[p] < 0) continue;
      mean[p] += values[v * length + lane[p]];
      count++;
    }
    mean[p] /= count || 1;
  }
  let sum = 0;
  for (let p = 2; p < mean.length; p++) sum += (mean[p] - mean[p - 2]) ** 2;
  return sum / mean.length;
}
