import { type TypeScript, ts } from './typescript';

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
