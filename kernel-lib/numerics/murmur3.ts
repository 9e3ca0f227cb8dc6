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

const rotateLeft = (x: number, bits: number) => (x << bits) | (x >>> (32 - bits));

const scramble = (word: number) =>
  Math.imul(rotateLeft(Math.imul(word, 0xcc9e2d51), 15), 0x1b873593);

function finish(hash: number): number {
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return (hash ^ (hash >>> 16)) >>> 0;
}
