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
  /** How far the middle of that cell lies beyond the position, pixels, −½ … ½. */
  readonly beyond: readonly Float32Array[];
}

/**
 * Bring tilted fringes into line: position t = i cos φ + v sin φ of pixel i in the lane at distance v, to the nearest
 * whole pixel. Nothing is interpolated, so the noise of neighbouring positions stays independent.
 *
 * @param tilt φ, rad
 */
export function straighten({ length, offsets }: Band, tilt: number): Straight {
  // A whole pixel, so that without tilt every position is one.
  const middle = length >> 1;
  const reach = Math.ceil(
    length / 2 + Math.max(...offsets.map(Math.abs)) * Math.abs(Math.sin(tilt)),
  );
  const [sine, cosine] = [Math.sin(tilt), Math.cos(tilt)];
  const beyond: Float32Array[] = [];
  const cells = offsets.map((v) => {
    const lane = new Int32Array(2 * reach + 1).fill(-1);
    const off = new Float32Array(lane.length);
    for (let p = 0; p < lane.length; p++) {
      // The pixel whose position is nearest to p − reach.
      const i = Math.round(middle + (p - reach - v * sine) / cosine);
      if (i < 0 || i >= length) continue;
      lane[p] = i;
      off[p] = (i - middle) * cosine + v * sine - (p - reach);
    }
    beyond.push(off);
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
    beyond: beyond.map((off) => off.subarray(from, to)),
  };
}
