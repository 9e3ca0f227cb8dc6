import type { CellNames } from '../follow';
import { isReference, reachesTopLevel } from './scopes';
import { type TypeScript, ts } from './typescript';

/** Methods of the language's own values that change the value they are called on, by ECMA-262. */
const changing = new Set(
  [
    // Array and TypedArray
    'copyWithin fill pop push reverse shift sort splice unshift set',
    // Map, Set, WeakMap and WeakSet
    'add clear delete',
    // Date
    'setDate setFullYear setHours setMilliseconds setMinutes setMonth setSeconds setTime',
    'setUTCDate setUTCFullYear setUTCHours setUTCMilliseconds setUTCMinutes setUTCMonth setUTCSeconds',
    // DataView
    'setBigInt64 setBigUint64 setFloat32 setFloat64 setInt8 setInt16 setInt32 setUint8 setUint16 setUint32',
  ]
    .join(' ')
    .split(' '),
);

/** Functions of the language that change their first argument. */
const changingFirst =
  /^(?:Object\.(?:assign|defineProperty|defineProperties|setPrototypeOf)|Reflect\.(?:set|defineProperty|deleteProperty|setPrototypeOf))$/;

/**
 * Which names a cell reads, sets and may change: of its own text, by the language's rules of scope. What reaches a
 * value by another name, or as a function's argument, is not seen.
 *
 * @param file the cell's JavaScript, bound: see `parseScoped`
 * @param own names that it declares at its top level
 * @param previous names that earlier cells declared
 */
export function cellNames(
  file: TypeScript.SourceFile,
  own: ReadonlySet<string>,
  previous: ReadonlySet<string>,
): CellNames {
  const usesOwn = new Set<string>();
  const reads = new Set<string>();
  const sets = new Set(own);
  const readsNow = new Set<string>();
  const mayChange = new Set<string>();
  const through = new Map<string, Doing>();

  const isOthers = (name: string) => previous.has(name) && !own.has(name);

  /** Another value for a variable of another cell, or a change within its value. */
  function change(id: TypeScript.Identifier, isWhole: boolean): void {
    const { text } = id;
    if (!isOthers(text) || !reachesTopLevel(id)) return;
    const place = placeOf(id);
    if (place.called) doingOf(place.called).changes.add(text);
    if (!place.runsNow) return;
    if (isWhole && !place.inFunction) sets.add(text);
    else mayChange.add(text);
  }

  function doingOf(name: string): Doing {
    const known = through.get(name) ?? { changes: new Set(), uses: new Set() };
    through.set(name, known);
    return known;
  }

  function reference(id: TypeScript.Identifier): void {
    if (!isReference(id)) return;
    const { text } = id;
    if (!(own.has(text) || previous.has(text)) || !reachesTopLevel(id)) return;
    const isSet = ts.isAssignmentTarget(id);
    if (isSet) change(id, true);
    if (isSet && !readsFirst(outOfBrackets(id).parent)) return;
    const { called, runsNow } = placeOf(id);
    if (called) doingOf(called).uses.add(text);
    if (own.has(text)) {
      usesOwn.add(text);
      return;
    }
    reads.add(text);
    if (runsNow) readsNow.add(text);
  }

  function visit(node: TypeScript.Node): void {
    if (ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) return;
    if (ts.isIdentifier(node)) reference(node);
    else if (isMember(node)) {
      const isGone = ts.isDeleteExpression(outOfBrackets(node).parent);
      if (isGone || ts.isAssignmentTarget(node)) changeWithin(node);
    } else if (ts.isCallExpression(node)) call(node);
    ts.forEachChild(node, visit);
  }

  function call({ expression, arguments: given }: TypeScript.CallExpression): void {
    const callee = inBrackets(expression);
    if (!ts.isPropertyAccessExpression(callee)) return;
    if (changing.has(callee.name.text)) changeWithin(callee);
    const { expression: of } = callee;
    const isChangingFirst =
      ts.isIdentifier(of) && changingFirst.test(`${of.text}.${callee.name.text}`);
    if (isChangingFirst && given.length > 0) {
      const root = rootOf(given[0]);
      if (root) change(root, false);
    }
  }

  function changeWithin(node: TypeScript.Node): void {
    const root = rootOf(node);
    if (root) change(root, false);
  }

  visit(file);
  return {
    names: [...own],
    usesOwn: [...usesOwn],
    reads: [...reads],
    sets: [...sets],
    later: [...reads].filter((name) => !readsNow.has(name)),
    mayChange: [...mayChange].filter((name) => !sets.has(name)),
    through: closed(through, own),
  };
}

/** What a function does to others' variables once it is called, and the names that it uses. */
interface Doing {
  readonly changes: Set<string>;
  readonly uses: Set<string>;
}

/** The same for each function with what others of its cell do that it uses; left out where it changes and uses nothing. */
function closed(
  through: ReadonlyMap<string, Doing>,
  own: ReadonlySet<string>,
): CellNames['through'] {
  const all = [...through.keys()].map((name) => {
    const met = new Set([name]);
    // What is added while it is gone through is gone through, too.
    for (const one of met)
      for (const used of through.get(one)?.uses ?? []) if (own.has(used)) met.add(used);
    const doings = [...met].flatMap((one) => through.get(one) ?? []);
    const changes = [...new Set(doings.flatMap((one) => [...one.changes]))];
    const uses = [...new Set(doings.flatMap((one) => [...one.uses]))];
    return [name, { changes, uses: uses.filter((used) => !own.has(used)) }] as const;
  });
  return Object.fromEntries(
    all.filter(([, { changes, uses }]) => changes.length > 0 || uses.length > 0),
  );
}

/** Where a piece of code stands, as far as it tells when it runs. */
interface Place {
  readonly inFunction: boolean;
  /** It may run while the cell runs. */
  readonly runsNow: boolean;
  /** The variable of the cell by which it can be run later. */
  readonly called?: string;
}

function placeOf(node: TypeScript.Node): Place {
  let outermost: TypeScript.Node | undefined;
  let top = node;
  for (let up = node; !ts.isSourceFile(up); up = up.parent) {
    if (ts.isFunctionLike(up) || ts.isClassStaticBlockDeclaration(up)) outermost = up;
    top = up;
  }
  if (!outermost) return { inFunction: false, runsNow: true };
  if (ts.isFunctionDeclaration(top))
    return { inFunction: true, runsNow: false, called: top.name?.text };
  // A static block and what a static member begins with run at once.
  if (ts.isClassDeclaration(top))
    return { inFunction: true, runsNow: true, called: top.name?.text };
  const declared = declarationAround(node);
  if (!declared) return { inFunction: true, runsNow: true };
  const { initializer, name } = declared;
  const value = initializer && inBrackets(initializer);
  const isOnlyFunction =
    value && (ts.isArrowFunction(value) || ts.isFunctionExpression(value)) && value === outermost;
  return { inFunction: true, runsNow: !isOnlyFunction, called: name };
}

/** The variable at the cell's top level in whose declaration a node stands. */
function declarationAround(node: TypeScript.Node) {
  for (let up = node; !ts.isSourceFile(up); up = up.parent) {
    if (!ts.isVariableDeclaration(up) || !ts.isIdentifier(up.name)) continue;
    const { parent: statement } = up.parent;
    if (ts.isVariableStatement(statement) && ts.isSourceFile(statement.parent))
      return { name: up.name.text, initializer: up.initializer };
  }
  return undefined;
}

const isMember = (
  node: TypeScript.Node,
): node is TypeScript.PropertyAccessExpression | TypeScript.ElementAccessExpression =>
  ts.isPropertyAccessExpression(node) || ts.isElementAccessExpression(node);

function inBrackets(node: TypeScript.Expression): TypeScript.Expression {
  return ts.isParenthesizedExpression(node) ? inBrackets(node.expression) : node;
}

function outOfBrackets(node: TypeScript.Node): TypeScript.Node {
  return ts.isParenthesizedExpression(node.parent) ? outOfBrackets(node.parent) : node;
}

/** The variable whose value a chain such as `a.b[0].c` goes into. */
function rootOf(node: TypeScript.Node): TypeScript.Identifier | undefined {
  if (ts.isIdentifier(node)) return node;
  if (ts.isParenthesizedExpression(node) || isMember(node)) return rootOf(node.expression);
  return undefined;
}

/** Whether what sets a variable takes its value into account: `x += 1`, `x++`, `x ??= 1`. */
const readsFirst = (node: TypeScript.Node): boolean =>
  ts.isPrefixUnaryExpression(node) ||
  ts.isPostfixUnaryExpression(node) ||
  (ts.isBinaryExpression(node) && node.operatorToken.kind !== ts.SyntaxKind.EqualsToken);
