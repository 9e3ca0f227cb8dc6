import { applyEdits, type Edit } from '../cell-code';
import { reachesTopLevel } from './scopes';
import { type TypeScript, ts } from './typescript';

/** Something that a cell asks for and that is not there, with a sentence that says what to do instead. */
export interface Refusal {
  readonly start: number;
  readonly end: number;
  readonly message: string;
}

/** The code of a diagnostic that stands for a refusal, where the compiler's have theirs. */
export const refusedCode = 9999;

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

interface Found {
  readonly code: number;
  readonly start: { readonly offset: number };
  readonly fileName?: string;
}

/** "… has or is using name … from external module … but cannot be named", and its kin. */
const isUnnameable = ({ code }: Found) => code >= 4000 && code < 4200;

function importOf(node: TypeScript.Expression | undefined): string | undefined {
  if (!node || !ts.isAwaitExpression(node) || !ts.isCallExpression(node.expression))
    return undefined;
  const {
    expression,
    arguments: [from],
  } = node.expression;
  if (expression.kind !== ts.SyntaxKind.ImportKeyword || !from || !ts.isStringLiteral(from))
    return undefined;
  return `typeof import(${JSON.stringify(from.text)})`;
}

/** The annotation that lets a declaration's type be written down. */
function annotation(node: TypeScript.Node): Edit | undefined {
  if (ts.isVariableDeclaration(node) && !node.type) {
    const text = `: ${importOf(node.initializer) ?? 'any'}`;
    return { start: node.name.end, end: node.name.end, text };
  }
  if (ts.isFunctionDeclaration(node) && !node.type && node.body) {
    const at = node.body.getStart();
    return { start: at, end: at, text: ': any ' };
  }
  return undefined;
}

/**
 * The cell with types written to what the compiler cannot name: a module by its import, all else `any`. That is
 * for checking and declaring only. Undefined where there is nothing of the kind, or something else is wrong too.
 */
export function namedTypes(source: string, found: readonly Found[]): string | undefined {
  if (found.length === 0 || !found.every(isUnnameable)) return undefined;
  const file = ts.createSourceFile('cell.ts', source, ts.ScriptTarget.ES2022, true);
  const edits = new Map<number, Edit>();
  const visit = (node: TypeScript.Node): void => {
    const isMeant = found.some(
      ({ start }) => node.getStart(file) <= start.offset && start.offset < node.end,
    );
    if (!isMeant) return;
    const edit = annotation(node);
    if (edit) edits.set(edit.start, edit);
    else ts.forEachChild(node, visit);
  };
  ts.forEachChild(file, visit);
  return edits.size > 0 ? applyEdits(source, [...edits.values()]).text : undefined;
}

export type Completeness =
  | { readonly status: 'complete' | 'invalid' }
  | { readonly status: 'incomplete'; readonly indent: string };

/** A comment or template that runs to the end of the text: more may follow, wherever it began. */
const unterminated = new Set([1010, 1160]);

/** A string ends on its line. */
const openString = 1002;

/** Where the last thing that is more than a blank or a comment ends. */
function endOfText(code: string): number {
  const scanner = ts.createScanner(ts.ScriptTarget.ES2022, true, ts.LanguageVariant.Standard, code);
  let end = 0;
  while (scanner.scan() !== ts.SyntaxKind.EndOfFileToken) end = scanner.getTextPos();
  return end;
}

/** The indent of the next line: that of the last one, and a step more where it opens something. */
function indentAfter(code: string): string {
  const line = code.trimEnd().split('\n').at(-1) ?? '';
  const own = /^[ \t]*/.exec(line)?.[0] ?? '';
  return /[([{]\s*$/.test(line) ? `${own}  ` : own;
}

/**
 * Whether a console should run `code`, wait for more lines, or report it as wrong. Blanks and comments behind it
 * change nothing.
 */
export function isComplete(code: string): Completeness {
  const file = ts.createSourceFile('cell.ts', code, ts.ScriptTarget.ES2022) as {
    parseDiagnostics?: readonly TypeScript.DiagnosticWithLocation[];
  };
  const wrong = file.parseDiagnostics ?? [];
  if (wrong.length === 0) return { status: 'complete' };
  const end = endOfText(code);
  // What is missing at the end may come; what is wrong before it will not mend.
  const isOpen = wrong.every(
    (one) => unterminated.has(one.code) || (one.start >= end && one.code !== openString),
  );
  return isOpen ? { status: 'incomplete', indent: indentAfter(code) } : { status: 'invalid' };
}
