import { type TypeScript, ts } from '../typescript';
import type { Change } from './finding';

/** What is said of a comma that runs, but surely does not do what was meant. */
interface Said {
  readonly says: string;
  readonly changes: readonly Change[];
  readonly at?: TypeScript.Node;
}

/** `[0,594, 0,61]`: some commas have a blank behind them, others stand between digits and are meant as decimals. */
export function commasInList(node: TypeScript.Node, file: TypeScript.SourceFile): Said | undefined {
  if (!ts.isArrayLiteralExpression(node)) return undefined;
  const text = node.getText(file);
  if (!/\d,\d/.test(text) || !/,\s/.test(text) || !/^\[[\s\d,.-]*\]$/.test(text)) return undefined;
  const pieces = text.slice(1, -1).split(/,\s+/);
  if (!pieces.every((one) => /^-?\d+,\d+$/.test(one.trim()))) return undefined;
  return {
    says: `Decimals are written with a point: this list has ${node.elements.length} values, not ${pieces.length}.`,
    changes: [
      { start: node.getStart(file), end: node.end, text: text.replace(/(\d),(\d)/g, '$1.$2') },
    ],
  };
}

/** `Math.max(0,5, 1)`: takes any number of arguments, so that nobody counts them. */
export function commasInCall(node: TypeScript.Node, file: TypeScript.SourceFile): Said | undefined {
  if (!ts.isCallExpression(node)) return undefined;
  const callee = node.expression.getText(file);
  if (!/^Math\.(?:max|min|hypot)$/.test(callee)) return undefined;
  const all = [...node.arguments];
  const isWhole = (one: TypeScript.Node) => /^\d+$/.test(one.getText(file));
  const between = all.slice(1).map((one, n) => file.text.slice(all[n].end, one.getStart(file)));
  const tight = between.flatMap((text, n) =>
    text === ',' && isWhole(all[n]) && isWhole(all[n + 1]) ? [n] : [],
  );
  const isChained = tight.some((n, i) => i > 0 && n === tight[i - 1] + 1);
  if (tight.length === 0 || isChained || !between.some((text) => /,\s/.test(text)))
    return undefined;
  const pair = (n: number) => `${all[n].getText(file)}.${all[n + 1].getText(file)}`;
  return {
    says: `Decimals are written with a point: ${pair(tight[0])}. With the comma ${callee} takes ${all.length} numbers, not ${all.length - tight.length}.`,
    changes: tight.map((n) => ({ start: all[n].end, end: all[n].end + 1, text: '.' })),
    at: all[tight[0]],
  };
}

/** `const pair = (a - 1, b - 2);`: all but the last value is lost. */
export function commaInBrackets(
  node: TypeScript.Node,
  file: TypeScript.SourceFile,
): Said | undefined {
  const value = ts.isVariableDeclaration(node) && node.initializer ? node.initializer : undefined;
  if (!value || !ts.isParenthesizedExpression(value)) return undefined;
  const { expression } = value;
  if (
    !ts.isBinaryExpression(expression) ||
    expression.operatorToken.kind !== ts.SyntaxKind.CommaToken
  )
    return undefined;
  return {
    says: 'Between round brackets a comma keeps only the last value. Several values make a list, in square brackets.',
    changes: [
      { start: value.getStart(file), end: value.end, text: `[${expression.getText(file)}]` },
    ],
    at: value,
  };
}
