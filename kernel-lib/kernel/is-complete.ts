import type * as Tslab from 'tslab/dist/converter';
import { homeRequire } from './home';
import { type TypeScript, ts } from './typescript';

export type Completeness =
  | { readonly status: 'complete' | 'invalid' }
  | { readonly status: 'incomplete'; readonly indent: string };

/** A template, comment or string that runs to the end of the text: more may follow. */
const unterminated = new Set([1010, 1160]);

/** Whether a console should run `code`, wait for more lines, or report it as wrong. */
export function isComplete(code: string): Completeness {
  const { isCompleteCode } = homeRequire('tslab/dist/converter') as typeof Tslab;
  const file = ts.createSourceFile('cell.ts', code, ts.ScriptTarget.ES2022) as {
    parseDiagnostics?: readonly TypeScript.Diagnostic[];
  };
  const wrong = file.parseDiagnostics ?? [];
  const { completed, indent = '' } = isCompleteCode(code);
  if (!completed || wrong.some((one) => unterminated.has(one.code)))
    return { status: 'incomplete', indent };
  return { status: wrong.length > 0 ? 'invalid' : 'complete' };
}
