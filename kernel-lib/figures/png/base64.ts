/** Bytes as base64 text, in pieces small enough for a function's argument list. */
export function base64(bytes: Uint8Array): string {
  let binary = '';
  for (let i = 0; i < bytes.length; i += 8192) {
    binary += String.fromCharCode(...bytes.subarray(i, i + 8192));
  }
  return btoa(binary);
}

/** A `data:` address of a PNG picture. */
export function pngAddress(png: Uint8Array): string {
  return `data:image/png;base64,${base64(png)}`;
}
