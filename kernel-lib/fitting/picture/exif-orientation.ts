/**
 * Orientation 1…8 in a block of EXIF (a little TIFF); 1 when there is none.
 *
 * @param exif from its byte-order mark on
 * @see CIPA DC-008 (Exif 2.3), tag 0x0112 (from memory)
 */
export function exifOrientation(exif: Uint8Array): number {
  if (exif.length < 14) return 1;
  const view = new DataView(exif.buffer, exif.byteOffset, exif.byteLength);
  const order = view.getUint16(0);
  if (order !== 0x4949 && order !== 0x4d4d) return 1;
  const little = order === 0x4949;
  const directory = view.getUint32(4, little);
  if (directory + 2 > exif.length) return 1;
  const entries = view.getUint16(directory, little);
  for (let k = 0; k < entries; k++) {
    const at = directory + 2 + 12 * k;
    if (at + 12 > exif.length) return 1;
    if (view.getUint16(at, little) !== 0x0112) continue;
    const value = view.getUint16(at + 8, little);
    return value >= 1 && value <= 8 ? value : 1;
  }
  return 1;
}
