import vm from 'node:vm';
import { afterWait, beforeWait } from '../kernel/cell-context';
import type { Modules } from '../kernel/modules';
import type { JobCell } from './job';

/** The parameters of emitted code, in the order in which kernel/run-script.ts hands them over. */
export const parameters = '$cells, $from, $import, $wait, $after, require, console';

let next: () => unknown = () => undefined;
// Not configurable: no cell can put its own in this place.
Object.defineProperty(globalThis, Symbol.for('multislit.call'), { get: () => next });
const runner = new vm.Script(`globalThis[Symbol.for('multislit.call')]()`, {
  filename: 'multislit',
});

/** Call, and cut it off when it takes longer than `timeout` ms without a pause. */
export function callInTime<T>(call: () => T, timeout: number): T {
  next = call;
  return runner.runInThisContext({ timeout });
}

/** Compile a cell and run it; a promise when it waits. */
export function runCode(
  cell: JobCell,
  filename: string,
  { variables, modules, console }: { variables: object; modules: Modules; console: Console },
  timeout: number,
): unknown {
  const head = `(${cell.isAsync ? 'async ' : ''}function (${parameters}) { 'use strict'; `;
  const script = new vm.Script(`${head}${cell.text}\n})`, {
    filename,
    columnOffset: -head.length,
  });
  const body = script.runInThisContext();
  const { from, dynamic, require } = modules;
  return callInTime(
    () => body(variables, from, dynamic, beforeWait, afterWait, require, console),
    timeout,
  );
}
