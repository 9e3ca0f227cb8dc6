import { type TypeScript, ts } from '../kernel/typescript';

const decimal = /^\d+\.\d+(?:e[+-]?\d+)?$/i;

/** The same for every number, so that a cell with another value is the same text. */
const blanked = '8.8';

/** A number in a text, as it stands there. */
interface Found {
  readonly start: number;
  readonly text: string;
}

function decimalsOf(text: string): Found[] {
  const file = ts.createSourceFile('cell.ts', text, ts.ScriptTarget.ES2022, true);
  const found: Found[] = [];
  const visit = (node: TypeScript.Node): void => {
    if (ts.isNumericLiteral(node)) {
      const start = node.getStart(file);
      const own = text.slice(start, node.end);
      if (decimal.test(own)) found.push({ start, text: own });
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
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

/** A cell with its decimal numbers taken out, and the way to put them into code emitted from it. */
export interface WithoutDecimals {
  readonly source: string;
  /** Undefined where the emitted code does not hold just those numbers. */
  restore(emitted: string): string | undefined;
}

/** No type hangs on the digits of a decimal number; a cell in which one does is converted as it is. */
export function withoutDecimals(source: string): WithoutDecimals {
  const numbers = decimalsOf(source);
  return {
    source: replaced(source, numbers, () => blanked),
    restore(emitted) {
      if (numbers.length === 0) return emitted;
      const places = decimalsOf(emitted);
      const fits = places.length === numbers.length && places.every(({ text }) => text === blanked);
      if (!fits) return undefined;
      return replaced(emitted, places, (i) => numbers[i].text);
    },
  };
}
