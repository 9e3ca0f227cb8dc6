import { type TypeScript, ts } from '../kernel/typescript';

const decimal = /^\d+\.\d+(?:e[+-]?\d+)?$/i;
const longInteger = /^[1-9]\d+$/;

/**
 * How the stand-in for the n-th number of a cell begins; its digits end with n. No text that a person writes has
 * these, and the compiler writes no other number from one.
 */
const begins = '7.3190462';
const standIn = (n: number) => `${begins}${String(n).padStart(5, '0')}1`;
const standIns = new RegExp(`${begins.replace('.', '\\.')}(\\d{5})1`, 'g');
/** More numbers than the stand-ins can tell apart: such a cell is nobody else's. */
const mostNumbers = 100_000;

/** A number in a cell, as it stands there. */
interface Found {
  readonly start: number;
  readonly text: string;
}

/** Where types hang on a number, or other numbers that the compiler works out from it. */
const isDecisive = (node: TypeScript.Node): boolean =>
  ts.isTypeNode(node) || ts.isEnumDeclaration(node);

const isName = (node: TypeScript.Node): boolean =>
  (node.parent as { name?: TypeScript.Node }).name === node ||
  ts.isComputedPropertyName(node.parent);

/** A decimal number anywhere; an integer of two digits or more only where a value is written down. */
function isValue(own: string, node: TypeScript.NumericLiteral): boolean {
  if (isName(node)) return false;
  if (decimal.test(own)) return true;
  if (!longInteger.test(own)) return false;
  const whole = ts.isPrefixUnaryExpression(node.parent) ? node.parent : node;
  const { parent } = whole;
  return (
    ts.isArrayLiteralExpression(parent) ||
    (ts.isVariableDeclaration(parent) && parent.initializer === whole) ||
    (ts.isPropertyAssignment(parent) && parent.initializer === whole)
  );
}

/** The numbers that are values and nothing else, in the order in which they stand. */
function valuesIn(source: string): Found[] {
  const file = ts.createSourceFile('cell.ts', source, ts.ScriptTarget.ES2022, true);
  const found: Found[] = [];
  const visit = (node: TypeScript.Node): void => {
    if (isDecisive(node)) return;
    if (ts.isNumericLiteral(node)) {
      const start = node.getStart(file);
      const text = source.slice(start, node.end);
      if (isValue(text, node)) found.push({ start, text });
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

/** The text with each number found in it replaced by its stand-in. */
function withStandIns(source: string, found: readonly Found[]): string {
  const pieces: string[] = [];
  let at = 0;
  for (const [n, { start, text }] of found.entries()) {
    pieces.push(source.slice(at, start), standIn(n));
    at = start + text.length;
  }
  return pieces.join('') + source.slice(at);
}

/** A cell with stand-ins for its numbers, and the way to put them into code emitted from it. */
export interface WithoutNumbers {
  readonly source: string;
  /** Undefined where the emitted code does not hold all of those numbers. */
  restore(emitted: string): string | undefined;
}

/**
 * Take the numbers out of a cell, so that cells that differ in nothing else are one text. Each gets a stand-in that no
 * other has: whatever order the compiler writes them in, each comes back in its own place. No type hangs on the
 * digits of a measured value; a cell in which one does is converted as it is.
 */
export function withoutNumbers(source: string): WithoutNumbers {
  const asItIs = { source, restore: (emitted: string) => emitted };
  if (source.includes(begins)) return asItIs;
  const numbers = valuesIn(source);
  if (numbers.length === 0 || numbers.length > mostNumbers) return asItIs;
  return {
    source: withStandIns(source, numbers),
    restore(emitted) {
      const seen = new Set<number>();
      const text = emitted.replace(standIns, (_, digits: string) => {
        const n = Number(digits);
        seen.add(n);
        return numbers[n].text;
      });
      return seen.size === numbers.length ? text : undefined;
    },
  };
}
