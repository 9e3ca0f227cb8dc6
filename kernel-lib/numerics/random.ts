/** A stream of random numbers that its seed fixes for ever, on every machine. */
export interface Random {
  /** 0 ≤ x < 1, a multiple of 2⁻⁵³. */
  uniform(): number;
  /** A whole number 0…limit − 1, all equally likely; 1 ≤ limit ≤ 2³². */
  whole(limit: number): number;
  /** A normal deviate of mean 0 and standard deviation 1. */
  normal(): number;
}

/**
 * A seeded stream of random numbers. Only integer steps, + − × ÷ and √ are used, which IEEE 754 fixes to
 * the last bit: the same seed gives the same numbers in every browser and on every machine.
 *
 * @param seed a text, or a finite number (read as its decimal text)
 * @returns uniform, whole and normal deviates
 * @throws TypeError when the seed is neither a text nor a finite number
 * @see D. Blackman and S. Vigna, xoshiro128**; the polar method is G. Marsaglia's (both from memory)
 * @example seeded('s1024567').whole(6) === seeded('s1024567').whole(6) // true
 */
export function seeded(seed: string | number): Random {
  if (typeof seed !== 'string' && !Number.isFinite(seed)) {
    throw new TypeError(`A seed is a text or a finite number, but ${String(seed)} was given.`);
  }
  const bytes = new TextEncoder().encode(String(seed));
  const next = xoshiro128([
    murmur3(bytes, 1),
    murmur3(bytes, 2),
    murmur3(bytes, 3),
    murmur3(bytes, 4) || 1,
  ]);

  const uniform = () => ((next() >>> 5) * 2 ** 26 + (next() >>> 6)) * 2 ** -53;

  function whole(limit: number): number {
    if (!Number.isInteger(limit) || limit < 1 || limit > 2 ** 32) {
      throw new RangeError(
        `whole(limit) takes a whole number from 1 to 2^32, but ${String(limit)} was given.`,
      );
    }
    // Values from the incomplete last round would favour the small numbers.
    const fair = 2 ** 32 - (2 ** 32 % limit);
    let bits = next();
    while (bits >= fair) bits = next();
    return bits % limit;
  }

  let spare: number | undefined;
  function normal(): number {
    if (spare !== undefined) {
      const kept = spare;
      spare = undefined;
      return kept;
    }
    // A point spread evenly over the unit circle; its direction and its radius give one deviate each.
    let x = 0;
    let y = 0;
    let square = 0;
    do {
      x = 2 * uniform() - 1;
      y = 2 * uniform() - 1;
      square = x * x + y * y;
    } while (square >= 1 || square === 0);
    const stretch = Math.sqrt((-2 * portableLog(square)) / square);
    spare = y * stretch;
    return x * stretch;
  }

  return { uniform, whole, normal };
}

/**
 * MurmurHash3 (x86, 32 bits) of some bytes: spreads a short text over all 32 bits.
 *
 * @param bytes what is hashed
 * @param seed 32 bits; another seed gives another hash
 * @returns a whole number 0…2³² − 1
 * @see A. Appleby, MurmurHash3, public domain (algorithm and constants from memory; the test names its vectors)
 * @example murmur3(new Uint8Array(0), 1) // 1364076727
 */
export function murmur3(bytes: Uint8Array, seed: number): number {
  let hash = seed | 0;
  const whole = bytes.length & ~3;
  for (let i = 0; i < whole; i += 4) {
    const word = bytes[i] | (bytes[i + 1] << 8) | (bytes[i + 2] << 16) | (bytes[i + 3] << 24);
    hash = (Math.imul(rotateLeft(hash ^ scramble(word), 13), 5) + 0xe6546b64) | 0;
  }
  let rest = 0;
  for (let i = bytes.length - 1; i >= whole; i--) rest = (rest << 8) | bytes[i];
  return finish(hash ^ scramble(rest) ^ bytes.length);
}

/**
 * A short digest of a text: MurmurHash3 of its UTF-8 with each seed, 32 bits each. Enough against accidents, no proof
 * against anyone; to be had on any address, https or not.
 *
 * @param text what is digested
 * @param seeds whole numbers, one for every 32 bits
 * @returns eight hexadecimal digits for each seed
 * @see `murmur3`
 * @example shortDigest('', [1]) // '514e28b7'
 */
export function shortDigest(text: string, seeds: readonly number[]): string {
  const bytes = new TextEncoder().encode(text);
  return seeds.map((seed) => murmur3(bytes, seed).toString(16).padStart(8, '0')).join('');
}

const rotateLeft = (x: number, bits: number) => (x << bits) | (x >>> (32 - bits));

const scramble = (word: number) =>
  Math.imul(rotateLeft(Math.imul(word, 0xcc9e2d51), 15), 0x1b873593);

function finish(hash: number): number {
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return (hash ^ (hash >>> 16)) >>> 0;
}

/**
 * Natural logarithm from + − × ÷ alone. `Math.log` may differ in the last bit from engine to engine;
 * random numbers must not.
 *
 *   x = 2ᵏ m with m near 1,  ln x = k ln 2 + 2 artanh((m − 1)/(m + 1))
 *
 * @param x a positive, finite number
 * @returns ln x, to a few units in the last place
 * @example portableLog(1) // 0
 */
export function portableLog(x: number): number {
  let exponent = 0;
  let m = x;
  for (; m > Math.SQRT2; m /= 2) exponent++;
  for (; m < Math.SQRT1_2; m *= 2) exponent--;
  const t = (m - 1) / (m + 1);
  // |t| < 0.172, so t²³ is below the last bit.
  let sum = 0;
  for (let k = 21; k >= 1; k -= 2) sum = sum * t * t + 1 / k;
  return exponent * Math.LN2 + 2 * t * sum;
}

/** Four 32-bit words, not all zero. */
type Xoshiro128State = readonly [number, number, number, number];

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
