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
