import { brotliDecompressSync, gunzipSync, inflateSync } from 'node:zlib';
import { unzipSync } from 'fflate';
import { allSecrets, asCode, asWords } from '../cli/hand-out-secrets';

// All that stands in a file, however it is wrapped: packed (gzip, zip, brotli, WOFF, PNG), in base64 or percent signs, in
// texts within texts. What is no text is read byte by byte.

/** A text in a file, and how one comes to it. */
interface Found {
  readonly where: string;
  readonly text: string;
}

/** Deeper than anything is wrapped: base64 of a zip with a style with a font is five. */
const deepest = 8;

/** Base64 that may hold a secret of 16 letters, packed. */
const base64Run = /[\w+/-]{40,}={0,2}/g;
/** A text in percent signs, as addresses of data have it. */
const percentRun = /(?:%[0-9a-f]{2}[^\s%"'<>`]{0,400}){4,}/gi;

/** @returns every text in these bytes */
export function everyText(where: string, bytes: Uint8Array, depth = 0): Found[] {
  if (depth > deepest) return [];
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const inside = unwrapped(buffer, where.endsWith('.br')).flatMap(([name, part]) =>
    everyText(`${where} › ${name}`, part, depth + 1),
  );
  return [...inside, ...textsOf(where, buffer, depth)];
}

/** What a wrapping that is known by its first bytes holds. */
function unwrapped(bytes: Buffer, isBrotli: boolean): [string, Uint8Array][] {
  const starts = (...first: number[]) => first.every((byte, n) => bytes[n] === byte);
  const word = bytes.toString('latin1', 0, 4);
  if (starts(0x1f, 0x8b)) return [['gzip', gunzipSync(bytes)]];
  if (starts(0x50, 0x4b, 3, 4)) return Object.entries(unzipSync(bytes));
  if (starts(0x89, 0x50, 0x4e, 0x47)) return inPng(bytes);
  if (word === 'wOF2') return [['tables', inWoff2(bytes)]];
  if (word === 'wOFF') return inWoff(bytes);
  return isBrotli ? [['brotli', brotliDecompressSync(bytes)]] : [];
}

/** PNG (https://www.w3.org/TR/png/): its pixels, and texts that are packed. */
function inPng(bytes: Buffer): [string, Uint8Array][] {
  const pixels: Buffer[] = [];
  const texts: [string, Uint8Array][] = [];
  for (let at = 8; at + 12 <= bytes.length; at += 12 + bytes.readUInt32BE(at)) {
    const name = bytes.toString('latin1', at + 4, at + 8);
    const data = bytes.subarray(at + 8, at + 8 + bytes.readUInt32BE(at));
    if (name === 'IDAT') pixels.push(data);
    else if (name === 'zTXt') texts.push([name, inflateSync(data.subarray(data.indexOf(0) + 2))]);
    else if (name === 'iTXt' && data[data.indexOf(0) + 1] === 1) {
      const language = data.indexOf(0) + 3;
      const keyword = data.indexOf(0, language) + 1;
      texts.push([name, inflateSync(data.subarray(data.indexOf(0, keyword) + 1))]);
    } else if (name === 'iCCP') texts.push([name, inflateSync(data.subarray(data.indexOf(0) + 2))]);
  }
  return [['pixels', inflateSync(Buffer.concat(pixels))], ...texts];
}

/** WOFF (https://www.w3.org/TR/WOFF/): each table by itself, packed where that makes it smaller. */
function inWoff(bytes: Buffer): [string, Uint8Array][] {
  const count = bytes.readUInt16BE(12);
  return Array.from({ length: count }, (_, n) => {
    const [offset, packed, length] = [4, 8, 12].map((at) => bytes.readUInt32BE(44 + 20 * n + at));
    const data = bytes.subarray(offset, offset + packed);
    const name = bytes.toString('latin1', 44 + 20 * n, 48 + 20 * n);
    return [name, packed < length ? inflateSync(data) : data];
  });
}

/** WOFF 2 (https://www.w3.org/TR/WOFF2/, section 4): a directory of tables, and all of them in one brotli stream. */
function inWoff2(bytes: Buffer): Uint8Array {
  let at = 48;
  const skipNumber = () => {
    while (bytes[at++] & 0x80);
  };
  for (let n = bytes.readUInt16BE(12); n > 0; n -= 1) {
    const flags = bytes[at++];
    const [tag, version] = [flags & 0x3f, flags >> 6];
    if (tag === 0x3f) at += 4;
    skipNumber();
    // glyf and loca, 10 and 11, are transformed in version 0 and plain in version 3; all others the other way round.
    const isTransformed = tag === 10 || tag === 11 ? version !== 3 : version !== 0;
    if (isTransformed) skipNumber();
  }
  return brotliDecompressSync(bytes.subarray(at, at + bytes.readUInt32BE(20)));
}

const escapes: Readonly<Record<string, string>> = { n: '\n', r: '\r', t: '\t' };
const entities: Readonly<Record<string, string>> = {
  lt: '<',
  gt: '>',
  quot: '"',
  apos: "'",
  amp: '&',
};

/** The text as HTML and scripts mean it. */
const meant = (text: string): string =>
  text
    .replace(/&(lt|gt|quot|apos|amp);/g, (_, name: string) => entities[name])
    .replace(/&#(x?)([0-9a-f]+);/gi, (_, x, code) => letter(code, x ? 16 : 10))
    .replace(/\\x([0-9a-f]{2})|\\u\{?([0-9a-f]{4,6})\}?/gi, (_, x, u) => letter(x ?? u, 16))
    .replace(/\\([^ux0-9])/g, (_, sign: string) => escapes[sign] ?? sign);

const letter = (code: string, base: number): string => {
  const point = Number.parseInt(code, base);
  return point <= 0x10ffff ? String.fromCodePoint(point) : '';
};

function textsOf(where: string, bytes: Buffer, depth: number): Found[] {
  const text = bytes.toString('utf8');
  // In fonts and PDF two bytes make a letter.
  const isBinary = bytes.includes(0);
  const views = [
    text,
    meant(text),
    ...(isBinary ? [bytes.toString('latin1').replaceAll('\0', '')] : []),
  ];
  const found = [...new Set(views)].map((view) => ({ where, text: view }));
  const inBase64 = isBinary ? [] : [...text.matchAll(base64Run)];
  const inPercents = isBinary ? [] : [...text.matchAll(percentRun)];
  return [
    ...found,
    ...inBase64.flatMap(([run]) =>
      everyText(`${where} › base64`, Buffer.from(run, 'base64'), depth + 1),
    ),
    ...inPercents.flatMap(([run]) =>
      everyText(`${where} › %`, Buffer.from(unescape(run), 'latin1'), depth + 1),
    ),
  ];
}

/** So many letters of a secret are looked up at once; none is shorter. */
const start = 16;

/** What of any key stands in these files, in sentences. */
export function leaks(files: Iterable<readonly [string, Uint8Array]>): string[] {
  const sought = {
    code: new Map<string, [string, string][]>(),
    words: new Map<string, [string, string][]>(),
  };
  for (const { what, text, isCode } of allSecrets()) {
    const plain = isCode ? asCode(text) : asWords(text);
    const among = isCode ? sought.code : sought.words;
    const first = plain.slice(0, start);
    among.set(first, [...(among.get(first) ?? []), [plain, `${what}: ${text}`]]);
  }
  const found = new Set<string>();
  const look = (where: string, text: string, among: ReadonlyMap<string, [string, string][]>) => {
    const pairs = new Set([...among.keys()].map((first) => first.slice(0, 2)));
    const isFirst = new Uint8Array(0x10000);
    for (const pair of pairs) isFirst[(pair.charCodeAt(0) * 31 + pair.charCodeAt(1)) & 0xffff] = 1;
    for (let at = 0; at + start <= text.length; at += 1) {
      if (!isFirst[(text.charCodeAt(at) * 31 + text.charCodeAt(at + 1)) & 0xffff]) continue;
      for (const [plain, what] of among.get(text.slice(at, at + start)) ?? [])
        if (text.startsWith(plain, at)) found.add(`${where} holds ${what}`);
    }
  };
  for (const [path, bytes] of files)
    for (const { where, text } of everyText(path, bytes)) {
      look(where, asCode(text), sought.code);
      look(where, asWords(text), sought.words);
    }
  return [...found];
}
