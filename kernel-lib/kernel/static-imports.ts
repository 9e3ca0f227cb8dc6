import { type TypeScript, ts } from './typescript';

/** An import statement as assignments. */
export interface NamedImport {
  readonly from: string;
  readonly text: string;
}

/** Assignments to properties of `cells` that do what the import statement does; `$from` reads a loaded module. */
export function importText(node: TypeScript.ImportDeclaration, cells: string): NamedImport {
  const from = (node.moduleSpecifier as TypeScript.StringLiteral).text;
  const take = (local: string, name: string) =>
    `${cells}.${local} = $from(${JSON.stringify(from)}, ${JSON.stringify(name)});`;
  const clause = node.importClause;
  const bindings = clause?.namedBindings;
  const parts: string[] = [];
  if (clause?.name) parts.push(take(clause.name.text, 'default'));
  if (bindings && ts.isNamespaceImport(bindings)) parts.push(take(bindings.name.text, '*'));
  if (bindings && ts.isNamedImports(bindings))
    for (const { name, propertyName } of bindings.elements)
      parts.push(take(name.text, (propertyName ?? name).text));
  return { from, text: parts.join(' ') };
}
