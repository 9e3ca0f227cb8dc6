/** A table of cells for `test.each`: a row is a line, `¦` stands between its parts, `⏎` for a new line in a cell. */
export const rows = (table: string): string[][] =>
  table
    .trim()
    .split('\n')
    .map((line) => line.split('¦').map((part) => part.trim().replaceAll('⏎', '\n')));
