/** Control characters become blanks. A cell that a spreadsheet would take for a formula is led in by an apostrophe. */
function cell(value: string | number): string {
  const plain = typeof value === 'string' ? value.replace(/[^\P{Cc}\n\t]/gu, ' ') : value;
  const text =
    typeof value === 'string' && /^[=+\-@\t\r]/.test(value) ? `'${plain}` : String(plain);
  return /[",;\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** By it spreadsheets know that a table is UTF-8, and read “µm” and “é” as they are. */
export const byteOrderMark = '\ufeff';

/** Rows as CSV: a byte-order mark, comma, one line end a row, quotes where needed. */
export function writeCsv(rows: readonly (readonly (string | number)[])[]): string {
  return byteOrderMark + rows.map((row) => `${row.map(cell).join(',')}\n`).join('');
}
