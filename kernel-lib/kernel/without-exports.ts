import { type TypeScript, ts } from './typescript';

const attributes = /^\s*with\s*\{[^{}]*\}/;

/**
 * The cell as the compiler reads it, with blanks of the same length in the place of what says nothing there: of
 * `export`, for every variable is known to later cells, and of the attributes of an import (`with { type: 'json' }`),
 * which are younger than the compiler and by which modules are not told apart here.
 */
export function withoutExports(source: string): string {
  if (!/\bexport\b|\bwith\b/.test(source)) return source;
  const file = ts.createSourceFile('cell.ts', source, ts.ScriptTarget.ES2022);
  let text = source;
  const blank = (start: number, end: number) => {
    const blanks = text.slice(start, end).replace(/[^\r\n]/g, ' ');
    text = text.slice(0, start) + blanks + text.slice(end);
  };
  const blankModifiers = (node: TypeScript.Statement) => {
    for (const one of ts.canHaveModifiers(node) ? (ts.getModifiers(node) ?? []) : [])
      if (one.kind === ts.SyntaxKind.ExportKeyword || one.kind === ts.SyntaxKind.DefaultKeyword)
        blank(one.getStart(file), one.end);
  };
  for (const node of file.statements) {
    const start = node.getStart(file);
    const from =
      ts.isImportDeclaration(node) || ts.isExportDeclaration(node)
        ? node.moduleSpecifier
        : undefined;
    const given = from && attributes.exec(source.slice(from.end));
    if (from && given) blank(from.end, from.end + given[0].length);
    if (ts.isExportDeclaration(node)) blank(start, node.end);
    else if (ts.isExportAssignment(node)) blank(start, node.expression.getStart(file));
    else blankModifiers(node);
  }
  return text;
}
