/** Chunks that hold a picture and nothing else: no text, no profile, nothing of an application's own. */
const known = new Set(['IHDR', 'PLTE', 'tRNS', 'gAMA', 'sRGB', 'pHYs', 'bKGD', 'IDAT', 'IEND']);
const signature = '\u0089PNG\r\n\u001a\n';
const mostPixels = 8_000_000;

const table = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

function crc(bytes: string, from: number, to: number): number {
  let c = 0xffffffff;
  for (let i = from; i < to; i += 1) c = table[(c ^ bytes.charCodeAt(i)) & 255] ^ (c >>> 8);
  return ~c >>> 0;
}

const word = (bytes: string, at: number) =>
  bytes.charCodeAt(at) * 0x1000000 +
  ((bytes.charCodeAt(at + 1) << 16) | (bytes.charCodeAt(at + 2) << 8) | bytes.charCodeAt(at + 3));

function decoded(base64: string): string | undefined {
  if (base64.length % 4 !== 0 || !/^[A-Za-z0-9+/]+={0,2}$/.test(base64)) return undefined;
  return atob(base64);
}

/**
 * True for a whole PNG picture and nothing besides: the signature, a header with a size that a viewer can bear,
 * chunks of pixels with sound check sums, and the end where the file ends. Pixels are not unpacked.
 *
 * @param base64 the file as text
 * @see W3C Portable Network Graphics (PNG) Specification, sections 5 and 11 (from memory)
 */
export function isPlainPng(base64: string): boolean {
  const bytes = decoded(base64);
  if (!bytes?.startsWith(signature)) return false;
  let at = signature.length;
  let pixels = false;
  for (let n = 0; at + 12 <= bytes.length; n += 1) {
    const length = word(bytes, at);
    const end = at + 12 + length;
    const type = bytes.slice(at + 4, at + 8);
    if (end > bytes.length || !known.has(type)) return false;
    if (crc(bytes, at + 4, end - 4) !== word(bytes, end - 4)) return false;
    if ((n === 0) !== (type === 'IHDR') || (n === 0 && length !== 13)) return false;
    if (n === 0) {
      const [width, height] = [word(bytes, at + 8), word(bytes, at + 12)];
      if (width < 1 || height < 1 || width * height > mostPixels) return false;
    }
    if (type === 'IEND') return pixels && length === 0 && end === bytes.length;
    pixels ||= type === 'IDAT' && length > 0;
    at = end;
  }
  return false;
}
