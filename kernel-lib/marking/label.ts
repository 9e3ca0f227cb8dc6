/** Longest label, UTF-16 units. What is longer is nobody's name of a file. */
const longest = 300;

/**
 * A path as it stands in tables and pages: `/` between folders, no control characters, cut in the middle when long.
 * Never used to open anything.
 *
 * @example labelOf('mine\\a.ipynb') // 'mine/a.ipynb'
 */
export function labelOf(path: string): string {
  const ends =
    path.length > longest ? `${fresh(path.slice(0, 140))} … ${fresh(path.slice(-150))}` : path;
  return ends.replaceAll('\\', '/').replace(/[\p{Cc}\p{Bidi_Control}]/gu, '\uFFFD');
}

/** A string of its own: a slice would keep all of a long one in memory. */
const fresh = (text: string) => text.split('').join('');
