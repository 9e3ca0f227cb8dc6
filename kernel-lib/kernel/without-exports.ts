import { type TypeScript, ts } from './typescript';

/** Every variable of a cell is known to later cells, so `export` says nothing: it becomes blanks of the same length. */
export function withoutExports(source: string): string {
  if (!/\bexport\b/.test(source)) return source;
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
    if (ts.isExportDeclaration(node)) blank(start, node.end);
    else if (ts.isExportAssignment(node)) blank(start, node.expression.getStart(file));
    else blankModifiers(node);
  }
  return text;
}
