import vm from 'node:vm';
import { afterWait, beforeWait } from './cell-context';
import { given } from './live-variables';
import type { Modules } from './modules';

/** What a cell's code can reach, by the names of its parameters. */
export interface Frame {
  variables: Record<string, unknown>;
  from: Modules['from'];
  dynamic: (specifier: string) => Promise<unknown>;
  require: NodeJS.Require;
  console: Console;
}

/** `[value]` of the last expression, or nothing; a promise of it when the cell waits. */
export type CellResult = [unknown] | undefined;

const parameters = `${given.join(', ')}, require, console`;

/** Compile a cell's emitted code and run it. */
export function runScript(
  code: { readonly text: string; readonly isAsync: boolean },
  frame: Frame,
  filename: string,
): CellResult | Promise<CellResult> {
  const head = `(${code.isAsync ? 'async ' : ''}function (${parameters}) { 'use strict'; `;
  const script = new vm.Script(`${head}${code.text}\n})`, {
    filename,
    columnOffset: -head.length,
  });
  const body = script.runInThisContext();
  return body(
    frame.variables,
    frame.from,
    frame.dynamic,
    beforeWait,
    afterWait,
    frame.require,
    frame.console,
  );
}
