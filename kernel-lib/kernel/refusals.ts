import { reachesTopLevel } from './scopes';
import { type TypeScript, ts } from './typescript';

/** Something that a cell asks for and that is not there, with a sentence that says what to do instead. */
export interface Refusal {
  readonly start: number;
  readonly end: number;
  readonly message: string;
}

const mayRefuse =
  /@(?:module|jsx|browser)\b|\bimport\s*\.\s*meta\b|tslab|\b(?:__dirname|__filename|module|exports)\b/;

/** Names that Node's types declare for its own kind of module, which a cell is not. */
export const notInCells: Readonly<Record<string, string>> = {
  __dirname:
    "A cell has no __dirname: paths start from the notebook's folder, which process.cwd() gives.",
  __filename: "A cell has no __filename: it is no file. Paths start from the notebook's folder.",
  module: 'A cell has no module: what it declares is known to all later cells.',
  exports: 'A cell has no exports: what it declares is known to all later cells.',
};

const kinds: Readonly<Record<string, string>> = {
  module:
    'Cells of this kernel cannot be made modules by @module: put the text into a .ts file beside the notebook and import that.',
  jsx: 'Cells of this kernel hold no JSX, so @jsx does nothing: leave it out.',
  browser:
    'Cells of this kernel run in Node and not in the browser, so @browser does nothing: leave it out.',
};

const instead =
  "Cells of this kernel show things by show(…) of 'multislit'; tslab's own module is not there.";

/** A tag in a documentation comment before the first statement, as some kernels take it for an order. */
function refusedTags(source: string): Refusal[] {
  const found: Refusal[] = [];
  for (const { pos, end } of ts.getLeadingCommentRanges(source, 0) ?? []) {
    const text = source.slice(pos, end);
    if (!text.startsWith('/**')) continue;
    for (const match of text.matchAll(/^[/*\s]*@(module|jsx|browser)\b/gm)) {
      const start = pos + match.index + match[0].lastIndexOf('@');
      found.push({ start, end: start + match[1].length + 1, message: kinds[match[1]] });
    }
  }
  return found;
}

/** Whether an identifier is used as a value that nothing declares. */
function isFree(id: TypeScript.Identifier, declared: ReadonlySet<string>): boolean {
  const { parent } = id;
  if (declared.has(id.text) || !reachesTopLevel(id)) return false;
  const isKey =
    (ts.isPropertyAccessExpression(parent) && parent.name === id) ||
    (ts.isPropertyAssignment(parent) && parent.name === id) ||
    (ts.isBindingElement(parent) && parent.propertyName === id) ||
    ts.isImportSpecifier(parent) ||
    ts.isQualifiedName(parent) ||
    ts.isTypeNode(parent) ||
    ts.isClassElement(parent) ||
    ts.isTypeElement(parent) ||
    (ts.isObjectLiteralElementLike(parent) &&
      parent.name === id &&
      !ts.isShorthandPropertyAssignment(parent));
  return !isKey;
}

/**
 * What a cell asks for that cannot be had.
 *
 * @param declared names that this and earlier cells declare
 */
export function refusals(source: string, declared: ReadonlySet<string>): Refusal[] {
  if (!mayRefuse.test(source)) return [];
  const found = refusedTags(source);
  const file = ts.createSourceFile('cell.ts', source, ts.ScriptTarget.ES2022, true);
  ts.bindSourceFile(file, { target: ts.ScriptTarget.ES2022, alwaysStrict: true });
  const own = (file as { locals?: ReadonlyMap<unknown, unknown> }).locals;
  const refuse = (node: TypeScript.Node, message: string) =>
    found.push({ start: node.getStart(file), end: node.end, message });
  const visit = (node: TypeScript.Node): void => {
    if (ts.isStringLiteral(node) && node.text === 'tslab') {
      const { parent } = node;
      if (ts.isImportDeclaration(parent) || ts.isCallExpression(parent)) refuse(node, instead);
    } else if (ts.isMetaProperty(node) && node.keywordToken === ts.SyntaxKind.ImportKeyword)
      refuse(
        node,
        "A cell has no import.meta: it is no file. Paths start from the notebook's folder.",
      );
    else if (ts.isIdentifier(node) && Object.hasOwn(notInCells, node.text)) {
      if (isFree(node, declared) && !own?.has(node.escapedText))
        refuse(node, notInCells[node.text]);
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}
