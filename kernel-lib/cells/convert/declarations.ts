import { type TypeScript, ts } from './typescript';

type Keep = (name: string) => boolean;

const parse = (text: string) =>
  ts.createSourceFile('declarations.d.ts', text, ts.ScriptTarget.ES2022);

/**
 * Declarations in the form that they have for good: what a cell declares keeps its own lines when it is first written
 * down, and not when it is written again behind the next cell.
 */
export function printed(declarations: string): string {
  // With their parents: words in quotes keep the quotes that they have.
  const file = ts.createSourceFile('d.ts', declarations, ts.ScriptTarget.ES2022, true);
  const text = ts.createPrinter({ newLine: ts.NewLineKind.LineFeed }).printFile(file);
  return text.replace(givenTypes, `import${inLibrary}`);
}

/** Where every folder finds that type. */
const inLibrary = '("multislit").GivenOf<"$1">';

/** The type of a sheet's givens by the path to its file, which is another from each folder. */
const givenTypes = /\bimport\("[^"\n]*\/types\/questions\/givens\/([\w-]+)"\)\.Given\b/g;

function importedNames(clause: TypeScript.ImportClause): { name: string; isType: boolean }[] {
  const { name, namedBindings: bindings, isTypeOnly } = clause;
  const names = name ? [{ name: name.text, isType: isTypeOnly }] : [];
  if (bindings && ts.isNamespaceImport(bindings))
    names.push({ name: bindings.name.text, isType: isTypeOnly });
  if (bindings && ts.isNamedImports(bindings))
    for (const one of bindings.elements)
      names.push({ name: one.name.text, isType: isTypeOnly || one.isTypeOnly });
  return names;
}

/** The values that one statement declares; none for types. */
function valuesOf(node: TypeScript.Statement): string[] {
  if (ts.isVariableStatement(node))
    return node.declarationList.declarations.flatMap(({ name }) =>
      ts.isIdentifier(name) ? [name.text] : [],
    );
  if (ts.isImportDeclaration(node))
    return (node.importClause ? importedNames(node.importClause) : [])
      .filter(({ isType }) => !isType)
      .map(({ name }) => name);
  const named =
    ts.isFunctionDeclaration(node) || ts.isClassDeclaration(node) || ts.isEnumDeclaration(node);
  if (named) return node.name ? [node.name.text] : [];
  return ts.isModuleDeclaration(node) ? [node.name.text] : [];
}

/** Names of values that the text of a declaration file declares. */
export function declaredValues(declarations: string): Set<string> {
  return new Set(parse(declarations).statements.flatMap(valuesOf));
}

/** The part of a statement that declares values to keep. */
function part(node: TypeScript.Statement, file: TypeScript.SourceFile, keep: Keep): string {
  const text = node.getText(file);
  const values = valuesOf(node);
  if (values.every(keep)) return text;
  if (!values.some(keep)) return '';
  if (ts.isVariableStatement(node)) {
    const { declarations } = node.declarationList;
    const head = text.slice(0, declarations[0].getStart(file) - node.getStart(file));
    const kept = declarations.filter(({ name }) => keep((name as TypeScript.Identifier).text));
    return `${head}${kept.map((one) => one.getText(file)).join(', ')};`;
  }
  const { importClause, moduleSpecifier } = node as TypeScript.ImportDeclaration;
  const bindings = importClause?.namedBindings;
  const kept: string[] = [];
  if (importClause?.name && keep(importClause.name.text)) kept.push(importClause.name.text);
  if (bindings && ts.isNamespaceImport(bindings) && keep(bindings.name.text))
    kept.push(bindings.getText(file));
  if (bindings && ts.isNamedImports(bindings)) {
    const names = bindings.elements.filter(({ name }) => keep(name.text));
    if (names.length > 0) kept.push(`{ ${names.map((one) => one.getText(file)).join(', ')} }`);
  }
  return `import ${kept.join(', ')} from ${moduleSpecifier.getText(file)};`;
}

/**
 * What is declared after a cell that failed half-way: what it had set by then, and for the rest what
 * was declared before. Types count as set.
 *
 * @param before declarations before the cell
 * @param after declarations as they would be had it not failed
 * @param isSet whether the cell set this name
 */
export function declarationsSoFar(
  before: string,
  after: string,
  isSet: (name: string) => boolean,
): string {
  const earlier = declaredValues(before);
  const select = (text: string, keep: Keep, types: boolean) => {
    const file = parse(text);
    return file.statements
      .filter((node) => types || valuesOf(node).length > 0)
      .map((node) => part(node, file, keep));
  };
  const now = select(after, isSet, true);
  const old = select(before, (name) => earlier.has(name) && !isSet(name), false);
  return [...now, ...old].filter((text) => text !== '').join('\n');
}
