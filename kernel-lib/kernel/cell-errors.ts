import { isInterrupted } from './cell-context';
import type { RanCell } from './cell-scripts';
import { cellFrames } from './cell-stack';
import type { Diagnostic } from './converter';
import { attempt, describeThrown } from './describe-thrown';
import type { CellError } from './output';

const most = 10;

function excerpt(source: string, line: number, column: number, endColumn = column + 1): string[] {
  const text = source.split('\n')[line - 1] ?? '';
  const number = `${line} | `;
  const indent = text.slice(0, column - 1).replace(/[^\t]/g, ' ');
  return [
    `${number}${text}`,
    `${' '.repeat(number.length)}${indent}${'^'.repeat(Math.max(1, endColumn - column))}`,
  ];
}

/** Diagnostics of the compiler as one error. */
export function diagnosticsError(diagnostics: readonly Diagnostic[], source: string): CellError {
  const [first] = diagnostics;
  const ename = first.code < 2000 ? 'SyntaxError' : 'TypeScriptError';
  const at = (one: Diagnostic) =>
    `${one.file ? `${one.file}, ` : ''}line ${one.line}, column ${one.column}`;
  const traceback = diagnostics.slice(0, most).flatMap((one) => {
    const end = one.endLine === one.line ? one.endColumn : undefined;
    return [
      `${at(one)}: ${one.message}`,
      ...(one.file ? [] : excerpt(source, one.line, one.column, end)),
    ];
  });
  const more = diagnostics.length - most;
  if (more > 0) traceback.push(`… and ${more} more`);
  return {
    ename,
    evalue: `${first.message} (${at(first)})`,
    traceback: [`${ename}: ${first.message}`, ...traceback],
    place: first.file ? undefined : { line: first.line, column: first.column },
  };
}

/** An array's first elements, each read by itself; none of what is no array. */
function firstOf(list: unknown): unknown[] {
  const length = attempt(() => (Array.isArray(list) ? list.length : 0), 0);
  return Array.from({ length: Math.min(length, most) }, (_, n) =>
    attempt(() => (list as unknown[])[n], undefined),
  );
}

/** What a cell threw as an error with the cell's own lines; never throws. `current`: the cell that ran. */
export function runtimeError(error: unknown, current: RanCell | undefined): CellError {
  if (isInterrupted(error))
    return { ename: error.name, evalue: error.message, traceback: [error.message] };
  const { ename, evalue } = describeThrown(error);
  const frames = cellFrames(error);
  const own = frames.find(({ cell }) => cell === current) ?? frames[0];
  const traceback = [`${ename}: ${evalue}`];
  if (own) traceback.push(...excerpt(own.cell.source, own.line, own.column));
  for (const { where, cell, line, column } of frames.slice(0, most))
    traceback.push(
      `    at ${where ? `${where}, ` : ''}${cell === current ? '' : `cell [${cell.count}], `}line ${line}, column ${column}`,
    );
  const property = (name: 'cause' | 'errors') =>
    attempt(() => (error as Record<string, unknown> | null)?.[name], undefined);
  const cause = property('cause');
  if (cause !== undefined) {
    const { ename: name, evalue: message } = describeThrown(cause);
    traceback.push(`Caused by ${name}: ${message}`);
  }
  for (const one of attempt(() => error instanceof AggregateError, false)
    ? firstOf(property('errors'))
    : []) {
    const { ename: name, evalue: message } = describeThrown(one);
    traceback.push(`  ${name}: ${message}`);
  }
  return {
    ename,
    evalue,
    traceback,
    place: own && own.cell === current ? { line: own.line, column: own.column } : undefined,
  };
}
