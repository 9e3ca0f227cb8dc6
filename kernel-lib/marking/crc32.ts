const table = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let bit = 0; bit < 8; bit++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

/**
 * The checksum of each file in a zip and of each chunk in a PNG.
 *
 * @see ISO/IEC 3309 (from memory): polynomial 0xedb88320, reflected, begun and ended with all bits turned
 * @example crc32(new TextEncoder().encode('123456789')) // 3421780262
 */
export function crc32(bytes: Uint8Array): number {
  let c = ~0;
  for (const byte of bytes) c = table[(c ^ byte) & 255] ^ (c >>> 8);
  return ~c >>> 0;
}
