import { applyEdits, type CellCode, type Edit, given } from '../cell-code';
import { cellNames } from './cell-names';
import {
  isOutsideFunctions,
  isReference,
  parseScoped,
  reachesTopLevel,
  topLevelNames,
} from './scopes';
import { type TypeScript, ts } from './typescript';

const options = {
  module: ts.ModuleKind.ESNext,
  target: ts.ScriptTarget.ES2022,
  moduleDetection: ts.ModuleDetectionKind.Force,
  verbatimModuleSyntax: true,
  experimentalDecorators: true,
  jsx: ts.JsxEmit.React,
  newLine: ts.NewLineKind.LineFeed,
  sourceMap: true,
};

/**
 * Emit one cell.
 *
 * @param previous names that earlier cells declared
 * @param ticks call `$tick()` at the head of every loop and function
 */
export function emitCell(source: string, previous: ReadonlySet<string>, ticks = false): CellCode {
  const { outputText, sourceMapText } = ts.transpileModule(source, {
    fileName: 'cell.ts',
    compilerOptions: options,
  });
  const plain = outputText.replace(/\n\/\/# sourceMappingURL=.*\s*$/, '\n');
  return { ...liveVariables(plain, previous, ticks), plain, sourceMap: sourceMapText ?? '' };
}

/**
 * Rewrite a cell so that every top-level variable, its own or an earlier cell's, is a property of one
 * object. A function then sees what a later cell makes of the variables that it uses.
 * The last expression is returned in an array of one.
 *
 * @param code the cell's JavaScript, an ES module without types
 * @param previous names that earlier cells declared
 */
export function liveVariables(
  code: string,
  previous: ReadonlySet<string>,
  ticks = false,
): Omit<CellCode, 'plain' | 'sourceMap'> {
  const file = parseScoped(code);
  const own = topLevelNames(file);
  const edits: Edit[] = [];
  const hoisted: string[] = [];
  const unset = new Set<string>();
  const modules: string[] = [];
  let isAsync = false;
  const [cells, from, imports, wait, after, tick] = freeNames(code);

  const replace = (start: number, end: number, text: string) => {
    edits.push({ start, end, text });
  };
  const insert = (at: number, text: string) => replace(at, at, text);
  const start = (node: TypeScript.Node) => node.getStart(file);
  const isShared = (id: TypeScript.Identifier) =>
    (own.has(id.text) || previous.has(id.text)) && reachesTopLevel(id);

  function reference(id: TypeScript.Identifier): void {
    if (!isReference(id) || !isShared(id)) return;
    const { parent } = id;
    const shared = `${cells}.${id.text}`;
    if (ts.isShorthandPropertyAssignment(parent) && parent.name === id)
      insert(id.end, `: ${shared}`);
    // Called through a comma, so that the callee's `this` is not the object of variables.
    else if (ts.isCallExpression(parent) && parent.expression === id)
      replace(start(id), id.end, `(0, ${shared})`);
    else if (ts.isTaggedTemplateExpression(parent) && parent.tag === id)
      replace(start(id), id.end, `(0, ${shared})`);
    else replace(start(id), id.end, shared);
  }

  /** Turn a declared name or pattern into the target of an assignment. */
  function target(name: TypeScript.BindingName): void {
    if (ts.isIdentifier(name)) {
      replace(start(name), name.end, `${cells}.${name.text}`);
      return;
    }
    for (const element of name.elements) {
      if (ts.isOmittedExpression(element)) continue;
      const shorthand =
        ts.isObjectBindingPattern(name) && !element.propertyName && !element.dotDotDotToken;
      if (element.propertyName) visit(element.propertyName);
      if (shorthand && ts.isIdentifier(element.name))
        insert(element.name.end, `: ${cells}.${element.name.text}`);
      else target(element.name);
      if (element.initializer) value(element.name, element.initializer);
    }
  }

  /** What a name is given. A function or class without a name takes it, which it would not from a property. */
  function value(name: TypeScript.Node, node: TypeScript.Expression): void {
    if (!ts.isIdentifier(name) || !takesName(node) || name.text === '__proto__') {
      visit(node);
      return;
    }
    insert(start(node), `({ ${name.text}: `);
    visit(node);
    insert(node.end, ` }).${name.text}`);
  }

  function declaration(node: TypeScript.VariableDeclaration, inLoop: boolean, isVar: boolean) {
    const { name, initializer } = node;
    if (ts.isIdentifier(name)) {
      target(name);
      if (initializer) {
        value(name, initializer);
        tellMovable(name, initializer);
      } else if (inLoop) return;
      // Where its line is reached again, or again declared, a `var` keeps its value.
      else if (isVar) unset.add(name.text);
      else insert(name.end, ' = void 0');
    } else if (inLoop) {
      target(name);
    } else {
      insert(start(name), '(');
      target(name);
      if (initializer) visit(initializer);
      insert(node.end, ')');
    }
  }

  /** A slider is told which variable it moves, which unit that is written in, and how to set it. */
  function tellMovable(name: TypeScript.Identifier, node: TypeScript.Expression): void {
    if (!ts.isCallExpression(node) || !ts.isIdentifier(node.expression)) return;
    const last = node.arguments.at(-1);
    if (node.expression.text !== 'movable' || node.arguments.length !== 3 || !last) return;
    const unit = node.arguments.slice(1).map(unitHelper).find(Boolean);
    const facts = `name: '${name.text}', ${unit ? `unit: '${unit}', ` : ''}`;
    const set = `set(value) { ${cells}.${name.text} = value; }`;
    insert(last.end, `, { ${facts}${set} }`);
  }

  function declarations(list: TypeScript.VariableDeclarationList): void {
    const { parent } = list;
    const isBlockScoped = (list.flags & ts.NodeFlags.BlockScoped) !== 0;
    const isOwn = isBlockScoped
      ? ts.isVariableStatement(parent) && ts.isSourceFile(parent.parent)
      : isOutsideFunctions(list);
    if (!isOwn) {
      ts.forEachChild(list, visit);
      return;
    }
    replace(start(list), start(list.declarations[0]), '');
    const inLoop = ts.isForInStatement(parent) || ts.isForOfStatement(parent);
    for (const node of list.declarations) declaration(node, inLoop, !isBlockScoped);
  }

  function statement(node: TypeScript.Statement, isLast: boolean): void {
    if (ts.isImportDeclaration(node)) {
      const imported: NamedImport = importText(node, cells, from);
      modules.push(imported.from);
      // Known before the first line, wherever it stands.
      hoisted.push(`${imported.text} `);
      replace(start(node), node.end, '');
      return;
    }
    if (ts.isExportDeclaration(node)) {
      replace(start(node), node.end, '');
      return;
    }
    if (ts.isFunctionDeclaration(node) && node.name)
      hoisted.push(`${cells}.${node.name.text} = ${node.name.text}; `);
    if (isLast && ts.isExpressionStatement(node)) {
      insert(start(node), 'return [');
      visit(node.expression);
      insert(node.expression.end, ']');
      return;
    }
    visit(node);
    if (ts.isClassDeclaration(node) && node.name)
      insert(node.end, ` ${cells}.${node.name.text} = ${node.name.text};`);
  }

  /** Visit a loop or a function, with a tick at the head of its body. */
  function ticking(node: TypeScript.Node, body: TypeScript.Node): void {
    const isBlock = ts.isBlock(body);
    // Behind 'use strict' and its like, which mean nothing elsewhere.
    if (isBlock) insert(lastOrder(body)?.end ?? start(body) + 1, ` ${tick}();`);
    else insert(start(body), ts.isStatement(body) ? `{ ${tick}(); ` : `(${tick}(), `);
    visitInside(node);
    if (!isBlock) insert(body.end, ts.isStatement(body) ? ' }' : ')');
  }

  function visit(node: TypeScript.Node): void {
    const body = ticks ? bodyOf(node) : undefined;
    if (body) ticking(node, body);
    else visitInside(node);
  }

  function visitInside(node: TypeScript.Node): void {
    const waits = ts.isAwaitExpression(node) || (ts.isForOfStatement(node) && node.awaitModifier);
    if (waits && isOutsideFunctions(node)) isAsync = true;
    if (ts.isIdentifier(node)) reference(node);
    else if (ts.isAwaitExpression(node)) {
      // A stopped cell goes no further than the next place where it waits.
      insert(start(node), `${after}(`);
      insert(start(node.expression), `${wait}(`);
      visit(node.expression);
      insert(node.expression.end, '))');
    } else if (ts.isVariableDeclarationList(node)) declarations(node);
    else if (node.kind === ts.SyntaxKind.ImportKeyword) replace(start(node), node.end, imports);
    else if (ts.isBinaryExpression(node) && isAssignment(node)) {
      visit(node.left);
      value(node.left, node.right);
    } else if (ts.isShorthandPropertyAssignment(node)) {
      visit(node.name);
      if (node.objectAssignmentInitializer) value(node.name, node.objectAssignmentInitializer);
    } else ts.forEachChild(node, visit);
  }

  const statements = file.statements.filter(
    (node) => !ts.isExportDeclaration(node) && !ts.isEmptyStatement(node),
  );
  const last = statements.at(-1);
  for (const node of file.statements) statement(node, node === last);
  const renamed =
    cells === given[0]
      ? []
      : [`const [${[cells, from, imports, wait, after, tick]}] = [${given}]; `];
  const undefinedAtFirst = [...unset].map((name) => `${cells}.${name} = void 0; `);
  const text = [...renamed, ...undefinedAtFirst, ...hoisted].join('');
  edits.unshift({ start: 0, end: 0, text });
  return { ...applyEdits(code, edits), ...cellNames(file, own, previous), modules, isAsync };
}

/** Helpers that make SI values of numbers with a unit. */
const unitHelpers = /^(?:m|cm|mm|um|nm|degrees|arcminutes|arcseconds|mrad|perMillimetre)$/;

/** The first of those helpers that is called in an expression. */
function unitHelper(node: TypeScript.Node): string | undefined {
  if (ts.isCallExpression(node) && ts.isIdentifier(node.expression)) {
    const { text } = node.expression;
    if (unitHelpers.test(text)) return text;
  }
  return ts.forEachChild(node, unitHelper);
}

/** The body of a loop or a function. */
function bodyOf(node: TypeScript.Node): TypeScript.Node | undefined {
  if (ts.isIterationStatement(node, false)) return node.statement;
  return ts.isFunctionLike(node) ? (node as { body?: TypeScript.Node }).body : undefined;
}

/** The last directive, such as 'use strict', with which a body begins. */
function lastOrder({ statements }: TypeScript.Block): TypeScript.Node | undefined {
  const isOrder = (one: TypeScript.Node) =>
    ts.isExpressionStatement(one) && ts.isStringLiteral(one.expression);
  const first = statements.findIndex((one) => !isOrder(one));
  return statements[(first < 0 ? statements.length : first) - 1];
}

/** The given names, or others in their place that the code does not use itself. */
function freeNames(code: string): readonly string[] {
  if (!given.some((name) => code.includes(name))) return given;
  let n = 1;
  while (code.includes(`$${n}`)) n += 1;
  return given.map((name) => `${name}$${n}`);
}

const assignments = new Set([
  ts.SyntaxKind.EqualsToken,
  ts.SyntaxKind.QuestionQuestionEqualsToken,
  ts.SyntaxKind.BarBarEqualsToken,
  ts.SyntaxKind.AmpersandAmpersandEqualsToken,
]);
/** An assignment that gives a function without a name the name of its target. */
const isAssignment = ({ operatorToken }: TypeScript.BinaryExpression) =>
  assignments.has(operatorToken.kind);

/** A function or class without a name of its own is named after the variable that it is first given to. */
function takesName(node: TypeScript.Expression): boolean {
  if (ts.isParenthesizedExpression(node)) return takesName(node.expression);
  if (ts.isArrowFunction(node)) return true;
  return (ts.isFunctionExpression(node) || ts.isClassExpression(node)) && !node.name;
}

/** An import statement as assignments. */
interface NamedImport {
  readonly from: string;
  readonly text: string;
}

/**
 * Calls that do what the import statement does.
 *
 * @param cells names the object of variables
 * @param take names the function that gives one of them its value: an export of a loaded module
 */
function importText(node: TypeScript.ImportDeclaration, cells: string, take: string): NamedImport {
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
