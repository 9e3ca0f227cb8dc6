/** Four 32-bit words, not all zero. */
export type Xoshiro128State = readonly [number, number, number, number];

/**
 * The generator xoshiro128**: 32 random bits a call from integer steps only, so the same everywhere.
 *
 * @param state four words of 32 bits, not all zero
 * @returns a function; each call gives the next whole number 0…2³² − 1 (period 2¹²⁸ − 1)
 * @see D. Blackman and S. Vigna, xoshiro128** 1.1, public domain
 * @example xoshiro128([1, 2, 3, 4])() // 11520
 */
export function xoshiro128(state: Xoshiro128State): () => number {
  let [a, b, c, d] = state.map((word) => word | 0);
  if ((a | b | c | d) === 0) throw new RangeError('The state of xoshiro128 must not be all zeros.');
  return () => {
    const result = Math.imul(rotateLeft(Math.imul(b, 5), 7), 9) >>> 0;
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = rotateLeft(d, 11);
    return result;
  };
}

const rotateLeft = (x: number, bits: number) => (x << bits) | (x >>> (32 - bits));
