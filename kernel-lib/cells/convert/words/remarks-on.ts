import { applyEdits } from '../../cell-code';
import type { PlainWords } from '../../plain-words';
import { isOutsideFunctions } from '../scopes';
import { type TypeScript, ts } from '../typescript';
import { commaInBrackets, commasInCall, commasInList } from './comma-remarks';
import type { Change } from './finding';

/** A way of writing that runs, but surely does not do what was meant. */
interface RemarkEntry {
  readonly name: string;
  /** Pure: from a node of a cell that the compiler accepts to a sentence, or to nothing. */
  say(node: TypeScript.Node, cell: Cell): Said | undefined;
}

interface Cell {
  readonly file: TypeScript.SourceFile;
  /** Numbers that names stand for, in this cell and those before it. */
  readonly numbers: ReadonlyMap<string, number>;
}

interface Said {
  readonly says: string;
  readonly changes?: readonly Change[];
  /** What it is about, when that is a part of the node. */
  readonly at?: TypeScript.Node;
}

const { SyntaxKind: kinds } = ts;

const isOf = (node: TypeScript.Node, ...kind: TypeScript.SyntaxKind[]) => kind.includes(node.kind);

/** Bits are meant: another sign for bits, or a number written in another base, stands in the same sum. */
function isAboutBits(node: TypeScript.Node, file: TypeScript.SourceFile): boolean {
  let top = node;
  while (ts.isBinaryExpression(top.parent) || ts.isParenthesizedExpression(top.parent))
    top = top.parent;
  const text = top.getText(file);
  return /[&|~]|<<|>>|\b0[xbo]/i.test(text);
}

function caret(node: TypeScript.Node, { file }: Cell): Said | undefined {
  if (!ts.isBinaryExpression(node)) return undefined;
  const { left, operatorToken: sign, right } = node;
  if (!isOf(sign, kinds.CaretToken, kinds.CaretEqualsToken) || isAboutBits(node, file))
    return undefined;
  const isEquals = sign.kind === kinds.CaretEqualsToken;
  const by = isEquals ? '**=' : '**';
  const change = { start: sign.getStart(file), end: sign.end, text: by };
  // The minus before a base must be put in brackets with it.
  const text = file.text;
  const base = /(-\s*)([\p{L}\p{N}_$.]+)\s*$/u.exec(text.slice(0, change.start));
  const start = base ? change.start - base[0].length : 0;
  const isSigned = base !== null && /(?:^|[=(,:*/+[{?&|<>-])\s*$/.test(text.slice(0, start));
  const power = /^\s*[\p{L}\p{N}_$.]+/u.exec(text.slice(sign.end));
  const says = isEquals
    ? '^= is not a power but a comparison of bits. A power is written with **'
    : `^ is not a power but a comparison of bits: 3 ^ 2 is 1. A power is written with **, as in ${right.getText(file).length < 12 && left.getText(file).length < 20 && !/[-+*/]/.test(left.getText(file) + right.getText(file)) ? `${left.getText(file)} ** ${right.getText(file)}` : '3 ** 2'}.`;
  if (!isSigned || !base || !power)
    return { says, changes: isSigned ? undefined : [change], at: sign };
  const whole = `${base[2]} ** ${power[0].trim()}`;
  return {
    says,
    changes: [{ start, end: sign.end + power[0].length, text: `-(${whole})` }],
    at: sign,
  };
}

function conditionOf(node: TypeScript.Node): TypeScript.Expression | undefined {
  if (ts.isIfStatement(node) || ts.isWhileStatement(node) || ts.isDoStatement(node))
    return node.expression;
  if (ts.isForStatement(node)) return node.condition;
  if (!ts.isConditionalExpression(node)) return undefined;
  // Round brackets are usual here, and mean nothing.
  const { condition } = node;
  return ts.isParenthesizedExpression(condition) ? condition.expression : condition;
}

/** The parts of a condition that decide. In a second pair of brackets an assignment is meant. */
function deciding(condition: TypeScript.Expression): TypeScript.Expression[] {
  const isBoth =
    ts.isBinaryExpression(condition) &&
    isOf(condition.operatorToken, kinds.AmpersandAmpersandToken, kinds.BarBarToken);
  return isBoth ? [condition.left, condition.right].flatMap(deciding) : [condition];
}

function assignedCondition(node: TypeScript.Node, { file }: Cell): Said | undefined {
  const condition = conditionOf(node);
  const found = (condition ? deciding(condition) : []).find(
    (one): one is TypeScript.BinaryExpression =>
      ts.isBinaryExpression(one) && one.operatorToken.kind === kinds.EqualsToken,
  );
  if (!found) return undefined;
  const { left, operatorToken: sign, right } = found;
  return {
    says: `One = gives ${left.getText(file)} the value ${right.getText(file)}, and compares nothing. Two things are compared by ===`,
    changes: [{ start: sign.getStart(file), end: sign.end, text: '===' }],
    at: found,
  };
}

function arrowCondition(node: TypeScript.Node, { file }: Cell): Said | undefined {
  const condition = conditionOf(node);
  const found = (condition ? deciding(condition) : []).find(ts.isArrowFunction);
  if (!found) return undefined;
  const sign = found.equalsGreaterThanToken;
  return {
    says: '=> makes a function, so that this condition is always true. Greater or equal is written >=, with the = last.',
    changes: [{ start: sign.getStart(file), end: sign.end, text: '>=' }],
    at: sign,
  };
}

function comparedOnly(node: TypeScript.Node, { file }: Cell): Said | undefined {
  if (!ts.isExpressionStatement(node) || !ts.isBinaryExpression(node.expression)) return undefined;
  const { left, operatorToken: sign } = node.expression;
  if (!isOf(sign, kinds.EqualsEqualsToken, kinds.EqualsEqualsEqualsToken)) return undefined;
  // The last line of a cell is shown: there it may be asked whether two things are the same.
  const isLast = ts.isSourceFile(node.parent) && node.parent.statements.at(-1) === node;
  if (isLast || !ts.isIdentifier(left)) return undefined;
  return {
    says: `${sign.getText(file)} compares, and what comes of it is not used. A value is given by one =`,
    changes: [{ start: sign.getStart(file), end: sign.end, text: '=' }],
    at: sign,
  };
}

/** The value of a number as it is written, with its sign; of a name that stands for one, too. */
function numberOf(
  node: TypeScript.Expression,
  numbers: ReadonlyMap<string, number>,
): number | undefined {
  if (ts.isParenthesizedExpression(node)) return numberOf(node.expression, numbers);
  if (ts.isNumericLiteral(node)) return Number(node.text);
  if (ts.isPrefixUnaryExpression(node) && node.operator === kinds.MinusToken) {
    const value = numberOf(node.operand, numbers);
    return value === undefined ? undefined : -value;
  }
  return ts.isIdentifier(node) ? numbers.get(node.text) : undefined;
}

/** From here on an angle written as a bare number is in degrees: nobody writes so many turns in radians. */
const fewestDegrees = 7;
const mostDegrees = 720;

function degreesInMath(node: TypeScript.Node, { file, numbers }: Cell): Said | undefined {
  if (!ts.isCallExpression(node) || node.arguments.length !== 1) return undefined;
  const callee = node.expression.getText(file);
  const [argument] = node.arguments;
  if (!/^Math\.(?:sin|cos|tan)$/.test(callee)) return undefined;
  const value = numberOf(argument, numbers);
  if (value === undefined || Math.abs(value) < fewestDegrees || Math.abs(value) > mostDegrees)
    return undefined;
  const text = argument.getText(file);
  return {
    says: `${callee} takes radians, and ${value} looks like degrees. degrees(${text}) makes radians of them, as does ${text} * Math.PI / 180.`,
    changes: [
      { start: argument.getStart(file), end: argument.end, text: `${text} * Math.PI / 180` },
    ],
    at: argument,
  };
}

/** Does nothing but compute a value. */
function isIdle(node: TypeScript.Expression, file: TypeScript.SourceFile): boolean {
  if (ts.isParenthesizedExpression(node)) return isIdle(node.expression, file);
  if (ts.isNumericLiteral(node) || ts.isIdentifier(node)) return true;
  if (ts.isPropertyAccessExpression(node)) return isIdle(node.expression, file);
  if (ts.isArrayLiteralExpression(node)) return node.elements.every((one) => isIdle(one, file));
  if (ts.isPrefixUnaryExpression(node))
    return (
      isOf({ kind: node.operator } as TypeScript.Node, kinds.MinusToken, kinds.PlusToken) &&
      isIdle(node.operand, file)
    );
  if (ts.isBinaryExpression(node)) {
    const { operatorToken: sign } = node;
    const computes = isOf(
      sign,
      kinds.PlusToken,
      kinds.MinusToken,
      kinds.AsteriskToken,
      kinds.SlashToken,
      kinds.AsteriskAsteriskToken,
      kinds.CaretToken,
    );
    return computes && isIdle(node.left, file) && isIdle(node.right, file);
  }
  if (!ts.isCallExpression(node)) return false;
  return (
    /^(?:Math\.\w+|um|nm|mm|cm|mrad|degrees|arcseconds|arcminutes)$/.test(
      node.expression.getText(file),
    ) && node.arguments.every((one) => isIdle(one, file))
  );
}

/** Whether a function of its own body returns something. */
function returns(body: TypeScript.Node): boolean {
  let found = false;
  const visit = (node: TypeScript.Node): void => {
    if (ts.isReturnStatement(node) || ts.isThrowStatement(node)) found = true;
    else if (!ts.isFunctionLike(node)) ts.forEachChild(node, visit);
  };
  ts.forEachChild(body, visit);
  return found;
}

function forgottenReturn(node: TypeScript.Node, { file }: Cell): Said | undefined {
  if (
    !ts.isFunctionDeclaration(node) &&
    !ts.isArrowFunction(node) &&
    !ts.isFunctionExpression(node)
  )
    return undefined;
  const { body } = node;
  if (!body || !ts.isBlock(body) || returns(body)) return undefined;
  const last = body.statements.at(-1);
  if (!last || !ts.isExpressionStatement(last) || !isIdle(last.expression, file)) return undefined;
  const start = last.getStart(file);
  return {
    says: 'This function works out a value and gives nothing back: the word return is missing before it.',
    changes: [{ start, end: start, text: 'return ' }],
    at: last,
  };
}

function squareCall(node: TypeScript.Node, { file }: Cell): Said | undefined {
  if (!ts.isElementAccessExpression(node)) return undefined;
  const callee = node.expression.getText(file);
  if (!/^Math\.[a-z]\w*$/.test(callee)) return undefined;
  const argument = node.argumentExpression.getText(file);
  return {
    says: `${callee} is a function: what it is to work on stands in round brackets.`,
    changes: [{ start: node.getStart(file), end: node.end, text: `${callee}(${argument})` }],
  };
}

/** `5*10-6`, with the 10 and the number behind it close together: a power of ten without its sign. */
function powerAsSum(node: TypeScript.Node, { file }: Cell): Said | undefined {
  if (!ts.isBinaryExpression(node) || !isOf(node.operatorToken, kinds.MinusToken)) return undefined;
  const { left, operatorToken: sign } = node;
  const start = sign.getStart(file);
  const [, power] = /^10-(\d{1,2})(?![\p{L}\p{N}_$.])/u.exec(file.text.slice(start - 2)) ?? [];
  const isProduct = ts.isBinaryExpression(left) && isOf(left.operatorToken, kinds.AsteriskToken);
  if (!isProduct || power === undefined || left.right.getText(file) !== '10') return undefined;
  return {
    says: `This takes ${power} away from the product. A power of ten is written 10 ** -${power}, or with e: 3e-${power}.`,
    changes: [{ start, end: sign.end, text: '**-' }],
    at: left.right,
  };
}

/** The table of remarks; see `entries` of `words-for.ts` for what the compiler refuses. */
export const remarkEntries: readonly RemarkEntry[] = [
  { name: '^ for a power', say: caret },
  { name: '= for a comparison', say: assignedCondition },
  { name: '=> for >=', say: arrowCondition },
  { name: '== for =', say: comparedOnly },
  { name: 'degrees in Math.sin', say: degreesInMath },
  { name: 'forgotten return', say: forgottenReturn },
  { name: 'decimal commas in a list', say: (node, { file }) => commasInList(node, file) },
  { name: 'decimal comma among arguments', say: (node, { file }) => commasInCall(node, file) },
  { name: 'comma between round brackets', say: (node, { file }) => commaInBrackets(node, file) },
  { name: 'power of ten as a sum', say: powerAsSum },
  { name: 'square brackets for a call', say: squareCall },
];

/** Longest that is looked through, in UTF-16 units: no person writes more into a cell. */
const longest = 100_000;
const mostRemarks = 5;

interface Worded extends PlainWords {
  readonly entry: string;
}

/**
 * Remarks on a cell that the compiler accepts. A pure function.
 *
 * @param before declarations of the cells before it
 */
export function remarksOn(source: string, before: string): Worded[] {
  if (source.length > longest) return [];
  const file = ts.createSourceFile('cell.ts', source, ts.ScriptTarget.ES2022, true);
  const cell: Cell = { file, numbers: numbersIn(file, before) };
  const found: Found[] = [];
  const visit = (node: TypeScript.Node): void => {
    for (const { name, say } of remarkEntries) {
      const said = say(node, cell);
      if (said) join(found, { entry: name, said, at: said.at ?? node }, file);
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found
    .slice(0, mostRemarks)
    .map(({ entry, said, at }) => ({ entry, ...placed(said, at, file) }));
}

interface Found {
  readonly entry: string;
  readonly said: Said;
  readonly at: TypeScript.Node;
}

/** Added to those found; the same mistake made twice in a line is one remark at the first place, and its line mends both. */
function join(found: Found[], one: Found, file: TypeScript.SourceFile): void {
  const startOf = ({ at }: Found) => at.getStart(file);
  const lineOf = (each: Found) => file.getLineAndCharacterOfPosition(startOf(each)).line;
  const index = found.findIndex(
    (other) => other.entry === one.entry && lineOf(other) === lineOf(one),
  );
  const other = found[index];
  const changes = [...(other?.said.changes ?? []), ...(one.said.changes ?? [])].sort(
    (a, b) => a.start - b.start,
  );
  const isApart = changes.every((each, i) => i === 0 || changes[i - 1].end <= each.start);
  if (!other?.said.changes || !one.said.changes || !isApart) {
    found.push(one);
    return;
  }
  const first = startOf(one) < startOf(other) ? one : other;
  found[index] = { ...first, said: { ...first.said, changes } };
}

/** Constants that are bare numbers: of earlier cells by their declarations, and of this one. */
function numbersIn(file: TypeScript.SourceFile, before: string): Map<string, number> {
  const numbers = new Map<string, number>();
  for (const [, name, value] of before.matchAll(
    /^declare const ([\p{L}\p{N}_$]+) = (-?[\d.e+-]+);$/gmu,
  ))
    numbers.set(name, Number(value));
  const own = new Map<string, number | undefined>();
  const visit = (node: TypeScript.Node): void => {
    if (ts.isVariableDeclaration(node) && ts.isIdentifier(node.name)) {
      const list = node.parent;
      const isConstant =
        ts.isVariableDeclarationList(list) &&
        (list.flags & ts.NodeFlags.Const) !== 0 &&
        isOutsideFunctions(list);
      const value =
        isConstant && node.initializer ? numberOf(node.initializer, numbers) : undefined;
      // Declared more than once, somewhere within: nothing is known of it.
      own.set(node.name.text, own.has(node.name.text) ? undefined : value);
    } else if (ts.isParameter(node) && ts.isIdentifier(node.name))
      own.set(node.name.text, undefined);
    ts.forEachChild(node, visit);
  };
  visit(file);
  for (const [name, value] of own) {
    if (value === undefined) numbers.delete(name);
    else numbers.set(name, value);
  }
  return numbers;
}

function placed(
  { says, changes }: Said,
  about: TypeScript.Node,
  file: TypeScript.SourceFile,
): PlainWords {
  const start = about.getStart(file);
  const { line, character } = file.getLineAndCharacterOfPosition(start);
  const lineAt = start - character;
  const found = file.text.indexOf('\n', start);
  const lineEnd = found < 0 ? file.text.length : found;
  const isOneLine = changes?.every((one) => one.start >= lineAt && one.end <= lineEnd);
  const inLine = changes?.map((one) => ({
    ...one,
    start: one.start - lineAt,
    end: one.end - lineAt,
  }));
  return {
    says,
    ...(inLine &&
      isOneLine && { instead: applyEdits(file.text.slice(lineAt, lineEnd), inLine).text }),
    line: line + 1,
    column: character + 1,
    endColumn: Math.max(character + 2, Math.min(about.end, lineEnd) - lineAt + 1),
  };
}
