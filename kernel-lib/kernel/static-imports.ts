import { type TypeScript, ts } from './typescript';

/** An import statement as assignments. */
export interface NamedImport {
  readonly from: string;
  readonly text: string;
}

/**
 * Calls that do what the import statement does.
 *
 * @param cells names the object of variables
 * @param take names the function that gives one of them its value: an export of a loaded module
 */
export function importText(
  node: TypeScript.ImportDeclaration,
  cells: string,
  take: string,
): NamedImport {
  const from = (node.moduleSpecifier as TypeScript.StringLiteral).text;
  const one = (local: string, name: string) =>
    `${take}(${[local, from, name].map((text) => JSON.stringify(text)).reduce((all, text) => `${all}, ${text}`, cells)});`;
  const clause = node.importClause;
  const bindings = clause?.namedBindings;
  const parts: string[] = [];
  if (clause?.name) parts.push(one(clause.name.text, 'default'));
  if (bindings && ts.isNamespaceImport(bindings)) parts.push(one(bindings.name.text, '*'));
  if (bindings && ts.isNamedImports(bindings))
    for (const { name, propertyName } of bindings.elements)
      parts.push(one(name.text, (propertyName ?? name).text));
  return { from, text: parts.join(' ') };
}
