const signature = { end: 0x06054b50, entry: 0x02014b50 };
const extendedTimestamp = 0x5455;

/**
 * When each entry of a zip was saved, by its name. A zip keeps local time to 2 s, of the machine that packed it,
 * and often UTC as well; UTC is taken where it stands, otherwise this machine's zone is assumed.
 *
 * @see PKWARE APPNOTE 6.3, sections 4.3.12 and 4.4.6; Info-ZIP's extra field 0x5455 (from memory)
 * @returns ms since 1970; entries without a sensible time are left out
 */
export function zipTimes(bytes: Uint8Array): Map<string, number> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const times = new Map<string, number>();
  try {
    const end = findEnd(view);
    if (end === undefined) return times;
    const count = view.getUint16(end + 10, true);
    let at = view.getUint32(end + 16, true);
    for (let n = 0; n < count && view.getUint32(at, true) === signature.entry; n++) {
      const name = view.getUint16(at + 28, true);
      const extra = view.getUint16(at + 30, true);
      const comment = view.getUint16(at + 32, true);
      const label = new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + name));
      const time = utcTime(view, at + 46 + name, extra) ?? localTime(view, at);
      if (time !== undefined) times.set(label, time);
      at += 46 + name + extra + comment;
    }
  } catch {
    // A damaged directory: what was read so far stands.
  }
  return times;
}

function findEnd(view: DataView): number | undefined {
  const longestComment = 65_535;
  const first = Math.max(0, view.byteLength - 22 - longestComment);
  for (let at = view.byteLength - 22; at >= first; at--)
    if (view.getUint32(at, true) === signature.end) return at;
  return undefined;
}

function utcTime(view: DataView, start: number, length: number): number | undefined {
  for (let at = start; at + 4 <= start + length; at += 4 + view.getUint16(at + 2, true)) {
    const isTime = view.getUint16(at, true) === extendedTimestamp;
    if (isTime && view.getUint8(at + 4) & 1) return 1000 * view.getUint32(at + 5, true);
  }
  return undefined;
}

function localTime(view: DataView, at: number): number | undefined {
  const time = view.getUint16(at + 12, true);
  const date = view.getUint16(at + 14, true);
  const [year, month, day] = [1980 + (date >> 9), (date >> 5) & 15, date & 31];
  // What packs without knowing the time writes 1 January 1980.
  if (month < 1 || day < 1 || (year === 1980 && month === 1 && day === 1)) return undefined;
  return new Date(year, month - 1, day, time >> 11, (time >> 5) & 63, 2 * (time & 31)).getTime();
}
