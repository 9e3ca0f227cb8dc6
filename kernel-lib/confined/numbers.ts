import { type TypeScript, ts } from '../kernel/typescript';

const decimal = /^\d+\.\d+(?:e[+-]?\d+)?$/i;
const longInteger = /^[1-9]\d+$/;

/** The same for every number, so that a cell with another value is the same text. */
const blanked = '8.8';

/** A number in a text, as it stands there. */
interface Found {
  readonly start: number;
  readonly text: string;
}

function numbersOf(
  text: string,
  isMeant: (own: string, node: TypeScript.NumericLiteral) => boolean,
): Found[] {
  const file = ts.createSourceFile('cell.ts', text, ts.ScriptTarget.ES2022, true);
  const found: Found[] = [];
  const visit = (node: TypeScript.Node): void => {
    if (ts.isNumericLiteral(node)) {
      const start = node.getStart(file);
      const own = text.slice(start, node.end);
      if (isMeant(own, node)) found.push({ start, text: own });
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

/** A decimal number anywhere; an integer of two digits or more only where a value is written down. */
function isValue(own: string, node: TypeScript.NumericLiteral): boolean {
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

/** The text with each number found in it replaced. */
function replaced(text: string, found: readonly Found[], by: (index: number) => string): string {
  let out = '';
  let at = 0;
  for (const [i, { start, text: old }] of found.entries()) {
    out += text.slice(at, start) + by(i);
    at = start + old.length;
  }
  return out + text.slice(at);
}

/** A cell with its numbers taken out, and the way to put them into code emitted from it. */
export interface WithoutNumbers {
  readonly source: string;
  /** Undefined where the emitted code does not hold just those numbers. */
  restore(emitted: string): string | undefined;
}

/** No type hangs on the digits of a measured value; a cell in which one does is converted as it is. */
export function withoutNumbers(source: string): WithoutNumbers {
  const numbers = numbersOf(source, isValue);
  return {
    source: replaced(source, numbers, () => blanked),
    restore(emitted) {
      if (numbers.length === 0) return emitted;
      const places = numbersOf(emitted, (own) => own === blanked);
      if (places.length !== numbers.length) return undefined;
      return replaced(emitted, places, (i) => numbers[i].text);
    },
  };
}
