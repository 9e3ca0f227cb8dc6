/**
 * Declarations in which constants have the type of their kind (`const a: number` for `const a = 0.781`), so
 * that the cells after an answer convert once for all students and not once for each value.
 */
export function widened(declarations: string): string {
  return declarations.replace(/^(?:export )?declare const .*;$/gm, (line) =>
    line.replace(
      /(?<![\w$])([\w$]+) = (-?[\d.][\w.+-]*|"(?:[^"\\\n]|\\.)*"|true|false)(?=[,;])/g,
      (_, name, value) => `${name}: ${kind(value)}`,
    ),
  );
}

function kind(value: string): string {
  if (value.startsWith('"')) return 'string';
  if (value === 'true' || value === 'false') return 'boolean';
  return /^-?\d+n$/.test(value) ? 'bigint' : 'number';
}
