import { expect, test } from 'vitest';
import { murmur3, xoshiro128 } from '../../kernel-lib/numerics/random';

// Source: github.com/edorfaus/xoshiro-6502, test-rom/testdata.asm: values made there with the authors' C
// program (D. Blackman and S. Vigna). The state is the first 16 bytes of its seed, little-endian.
test('xoshiro128** gives the published values', () => {
  const next = xoshiro128([0x964d4a0c, 0xd40ab895, 0xad7fdecb, 0x3006f0f0]);
  expect([next(), next(), next(), next()]).toEqual([
    0xf1391922, 0x6fe53806, 0xa5be2840, 0xf510ee70,
  ]);
});

// Source: the vectors that Boost.Hash2's and J. H. Kohler's hlibc's tests share (read as excerpts):
// bytes, seed, hash.
test('MurmurHash3 gives the published values', () => {
  const vectors: [number[], number, number][] = [
    [[], 0, 0],
    [[], 1, 0x514e28b7],
    [[], 0xffffffff, 0x81f16f39],
    [[0xff, 0xff, 0xff, 0xff], 0, 0x76293b50],
    [[0x21, 0x43, 0x65, 0x87], 0, 0xf55b516b],
    [[0x21, 0x43, 0x65, 0x87], 0x5082edee, 0x2362f9de],
    [[0x21, 0x43, 0x65], 0, 0x7e4a8634],
  ];
  for (const [bytes, seed, hash] of vectors) {
    expect(murmur3(Uint8Array.from(bytes), seed)).toBe(hash);
  }
});

test('a state of zeros is refused', () => {
  expect(() => xoshiro128([0, 0, 0, 0])).toThrow(RangeError);
});
