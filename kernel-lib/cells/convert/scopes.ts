import { type TypeScript, ts } from './typescript';

type Scope = TypeScript.Node & { locals?: ReadonlyMap<TypeScript.__String, TypeScript.Symbol> };

/** Parse emitted JavaScript and note in every scope which names it declares. */
export function parseScoped(code: string): TypeScript.SourceFile {
  const file = ts.createSourceFile('cell.ts', code, ts.ScriptTarget.ES2022, true);
  const { ESNext } = ts.ModuleKind;
  // Cells are strict: a function in a block is of that block.
  const options = { target: ts.ScriptTarget.ES2022, module: ESNext, alwaysStrict: true };
  ts.bindSourceFile(file, options);
  return file;
}

/** Names that the file itself declares at its top level. */
export function topLevelNames(file: TypeScript.SourceFile): Set<string> {
  const locals = (file as Scope).locals ?? new Map();
  return new Set([...locals.keys()].map((name) => ts.unescapeLeadingUnderscores(name)));
}

function isOfParameter(declared: TypeScript.Declaration): boolean {
  let node: TypeScript.Node = declared;
  while (ts.isBindingElement(node)) node = node.parent.parent;
  return ts.isParameter(node);
}

/** True when `scope` declares the name for its part `from`. The compiler keeps parameters and body in one list. */
function declares(scope: Scope, from: TypeScript.Node, name: TypeScript.__String): boolean {
  const found = scope.locals?.get(name);
  if (!found) return false;
  if (!ts.isFunctionLike(scope) || from === (scope as { body?: TypeScript.Node }).body) return true;
  // Defaults see the parameters and nothing of the body; a computed name sees neither.
  return ts.isParameter(from) && (found.declarations ?? []).some(isOfParameter);
}

/** True when the name at `id` means a top-level binding or one that no scope around it declares. */
export function reachesTopLevel(id: TypeScript.Identifier): boolean {
  let from: TypeScript.Node = id;
  for (let node: TypeScript.Node = id.parent; !ts.isSourceFile(node); node = node.parent) {
    if (declares(node, from, id.escapedText)) return false;
    from = node;
    // A class or a named function expression knows itself by name, inside itself.
    if (!ts.isClassLike(node) && !ts.isFunctionExpression(node)) continue;
    if (node.name !== id && node.name?.escapedText === id.escapedText) return false;
  }
  return true;
}

/** True when no function lies between `node` and the file: `var` and `await` there belong to the cell. */
export function isOutsideFunctions(node: TypeScript.Node): boolean {
  for (let up = node.parent; !ts.isSourceFile(up); up = up.parent)
    if (ts.isFunctionLike(up) || ts.isClassStaticBlockDeclaration(up)) return false;
  return true;
}

/** True when the identifier is read or written as a variable, not a key, a label or a declared name. */
export function isReference(id: TypeScript.Identifier): boolean {
  const { parent } = id;
  if (ts.isPropertyAccessExpression(parent)) return parent.name !== id;
  if (ts.isBindingElement(parent)) return parent.initializer === id;
  if (ts.isVariableDeclaration(parent) || ts.isParameter(parent) || ts.isPropertyAssignment(parent))
    return parent.initializer === id;
  if (ts.isPropertyDeclaration(parent)) return parent.initializer === id;
  if (ts.isShorthandPropertyAssignment(parent)) return true;
  if (ts.isFunctionLike(parent) || ts.isClassLike(parent)) {
    // An arrow function's body may be a bare name; every other name here is declared, not used.
    return ts.isArrowFunction(parent) && parent.body === id;
  }
  return !(
    ts.isLabeledStatement(parent) ||
    ts.isBreakOrContinueStatement(parent) ||
    ts.isMetaProperty(parent)
  );
}
