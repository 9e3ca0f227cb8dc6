import { inflateSync } from 'fflate';
import { crc32 } from './crc32';

const signature = { end: 0x06054b50, end64: 0x06064b50, entry: 0x02014b50, file: 0x04034b50 };
const extra = { zip64: 0x0001, unicodePath: 0x7075, time: 0x5455 };

/** One file in an archive, as its directory tells of it. Sizes in bytes. */
export interface ZipEntry {
  /** Never more than a label: two entries may have one name. */
  readonly name: string;
  readonly isEncrypted: boolean;
  /** A link, as Unix has them: it holds no file, but the path of one. */
  readonly isLink: boolean;
  /** How it is packed: 0 not at all, 8 deflated. */
  readonly method: number;
  readonly packedSize: number;
  readonly size: number;
  readonly crc: number;
  /** Where its local header begins. */
  readonly at: number;
  /** When it was saved, ms since 1970, where that is known. */
  readonly time?: number;
}

/** What makes an archive or an entry unreadable; the message is a phrase for a person. */
export class ZipError extends Error {
  override name = 'ZipError';
}

const viewOf = (bytes: Uint8Array) =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

/**
 * The entries of a zip, one by one in the order of its directory.
 *
 * @see PKWARE APPNOTE 6.3, sections 4.3.12, 4.3.14 and 4.3.16; Info-ZIP's extra fields 0x5455 and 0x7075 (from memory)
 * @throws ZipError where there is no directory, or it breaks off
 */
export function* zipEntries(bytes: Uint8Array): Generator<ZipEntry> {
  const view = viewOf(bytes);
  const { start, count, shift } = directoryOf(view);
  let at = start;
  for (let n = 0; n < count; n++) {
    if (at + 46 > bytes.length || view.getUint32(at, true) !== signature.entry)
      throw new ZipError('its list of files breaks off');
    const [names, extras, comment] = [28, 30, 32].map((i) => view.getUint16(at + i, true));
    const end = at + 46 + names + extras + comment;
    if (end > bytes.length) throw new ZipError('its list of files breaks off');
    yield entryAt(view, bytes, at, shift);
    at = end;
  }
}

interface Directory {
  readonly start: number;
  readonly count: number;
  /** Bytes that stand before the archive itself, which places in it do not count. */
  readonly shift: number;
}

function directoryOf(view: DataView): Directory {
  const longestComment = 65_535;
  const length = view.byteLength;
  for (let at = length - 22; at >= Math.max(0, length - 22 - longestComment); at--) {
    if (view.getUint32(at, true) !== signature.end) continue;
    if (at + 22 + view.getUint16(at + 20, true) > length) continue;
    const count = view.getUint16(at + 10, true);
    const size = view.getUint32(at + 12, true);
    const start = view.getUint32(at + 16, true);
    const isLarge = count === 0xffff || start === 0xffffffff || size === 0xffffffff;
    const large = isLarge ? largeDirectory(view, at) : undefined;
    if (large) return large;
    const shift = at - size - start;
    if (shift < 0) throw new ZipError('a part of it is missing');
    return { start: start + shift, count, shift };
  }
  throw new ZipError('its end is missing');
}

/** ZIP64, section 4.3.14: the record that stands 20 bytes of locator before the ordinary end. */
function largeDirectory(view: DataView, end: number): Directory | undefined {
  if (end < 76 || view.getUint32(end - 76, true) !== signature.end64) return undefined;
  const number = (at: number) => Number(view.getBigUint64(end - 76 + at, true));
  const [count, size, start] = [number(32), number(40), number(48)];
  const shift = end - 76 - size - start;
  if (!(shift >= 0)) throw new ZipError('a part of it is missing');
  return { start: start + shift, count, shift };
}

function entryAt(view: DataView, bytes: Uint8Array, at: number, shift: number): ZipEntry {
  const flags = view.getUint16(at + 8, true);
  const nameEnd = at + 46 + view.getUint16(at + 28, true);
  const extras = extraFields(view, nameEnd, view.getUint16(at + 30, true));
  const raw = bytes.subarray(at + 46, nameEnd);
  const large = extras.get(extra.zip64);
  let wide = 0;
  /** A number of 32 bits, or of 64 where it does not fit: then it stands in the extra field, in order. */
  const number = (offset: number): number => {
    const value = view.getUint32(at + offset, true);
    if (value !== 0xffffffff || !large || wide + 8 > large.byteLength) return value;
    wide += 8;
    return Number(large.getBigUint64(wide - 8, true));
  };
  const [size, packedSize, place] = [number(24), number(20), number(42)];
  const time = utcTime(extras.get(extra.time)) ?? localTime(view, at);
  return {
    name: nameOf(raw, (flags & 0x800) !== 0, extras.get(extra.unicodePath)),
    isEncrypted: (flags & 1) !== 0,
    // Made on Unix (3) or macOS (19), whose kinds of file stand in the upper half of the outer attributes.
    isLink: /^(?:3|19)$/.test(`${bytes[at + 5]}`) && view.getUint16(at + 40, true) >> 12 === 0o12,
    method: view.getUint16(at + 10, true),
    packedSize,
    size,
    crc: view.getUint32(at + 16, true),
    at: place + shift,
    ...(time === undefined ? {} : { time }),
  };
}

function extraFields(view: DataView, start: number, length: number): Map<number, DataView> {
  const fields = new Map<number, DataView>();
  for (let at = start; at + 4 <= start + length; ) {
    const size = view.getUint16(at + 2, true);
    if (at + 4 + size > start + length) break;
    fields.set(view.getUint16(at, true), new DataView(view.buffer, view.byteOffset + at + 4, size));
    at += 4 + size;
  }
  return fields;
}

/** UTF-8 where the entry says so, or where it can be nothing else; else the old code page of zips. */
function nameOf(raw: Uint8Array, isUtf8: boolean, unicodePath: DataView | undefined): string {
  if (unicodePath && unicodePath.byteLength > 5 && unicodePath.getUint32(1, true) === crc32(raw)) {
    const { buffer, byteOffset, byteLength } = unicodePath;
    return new TextDecoder().decode(new Uint8Array(buffer, byteOffset + 5, byteLength - 5));
  }
  if (isUtf8) return new TextDecoder().decode(raw);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(raw);
  } catch {
    return codePage437(raw);
  }
}

function utcTime(field: DataView | undefined): number | undefined {
  if (!field || field.byteLength < 5 || !(field.getUint8(0) & 1)) return undefined;
  return 1000 * field.getUint32(1, true);
}

/** A zip keeps local time to 2 s, of the machine that packed it; this machine's zone is assumed. */
function localTime(view: DataView, at: number): number | undefined {
  const time = view.getUint16(at + 12, true);
  const date = view.getUint16(at + 14, true);
  const [year, month, day] = [1980 + (date >> 9), (date >> 5) & 15, date & 31];
  // What packs without knowing the time writes 1 January 1980.
  if (month < 1 || day < 1 || (year === 1980 && month === 1 && day === 1)) return undefined;
  return new Date(year, month - 1, day, time >> 11, (time >> 5) & 63, 2 * (time & 31)).getTime();
}

/**
 * What an entry holds.
 *
 * @throws ZipError when it cannot be unpacked to what its directory says of it
 */
export function contentOf(bytes: Uint8Array, entry: ZipEntry): Uint8Array {
  const { at, method, packedSize, size, crc, isEncrypted } = entry;
  if (isEncrypted) throw new ZipError('it is locked with a password');
  if (method !== 0 && method !== 8)
    throw new ZipError(`it is packed in a way (${method}) that is not read here`);
  const view = viewOf(bytes);
  if (at + 30 > bytes.length || view.getUint32(at, true) !== signature.file)
    throw new ZipError('it is damaged: there is no such file in the archive');
  const start = at + 30 + view.getUint16(at + 26, true) + view.getUint16(at + 28, true);
  if (start + packedSize > bytes.length)
    throw new ZipError('it is damaged: a part of it is missing');
  const packed = bytes.subarray(start, start + packedSize);
  let content: Uint8Array;
  try {
    content = method === 0 ? packed.slice() : inflateSync(packed, { out: new Uint8Array(size) });
  } catch (error) {
    throw new ZipError(`it is damaged: ${(error as Error).message}`);
  }
  if (content.length !== size || crc32(content) !== crc)
    throw new ZipError('it is damaged: its checksum is another');
  return content;
}

/** What the bytes 128 to 255 mean; the lower half is ASCII. */
const upper =
  'ÇüéâäàåçêëèïîìÄÅÉæÆôöòûùÿÖÜ¢£¥₧ƒáíóúñÑªº¿⌐¬½¼¡«»░▒▓│┤╡╢╖╕╣║╗╝╜╛┐└┴┬├─┼╞╟╚╔╩╦╠═╬╧╨╤╥╙╘╒╓╫╪┘┌█▄▌▐▀αßΓπΣσµτΦΘΩδ∞φε∩≡±≥≤⌠⌡÷≈°∙·√ⁿ²■\u00a0';

/**
 * Text in the code page that zips have where nothing else is said.
 *
 * @see PKWARE APPNOTE 6.3, appendix D (from memory); the table is that of Python's codec `cp437`
 * @example codePage437(new Uint8Array([0x81, 0x62])) // 'üb'
 */
export const codePage437 = (bytes: Uint8Array): string =>
  Array.from(bytes, (byte) => (byte < 128 ? String.fromCharCode(byte) : upper[byte - 128])).join(
    '',
  );
