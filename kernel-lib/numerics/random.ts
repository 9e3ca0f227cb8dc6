import { murmur3 } from './murmur3';
import { portableLog } from './portable-log';
import { xoshiro128 } from './xoshiro128';

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
