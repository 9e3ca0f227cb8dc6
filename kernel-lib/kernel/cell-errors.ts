import { inspect } from 'node:util';
import { Interrupted } from './cell-context';
import { cellByScript, type RanCell } from './cell-scripts';
import type { Diagnostic } from './converter';
import { placeInCell } from './emit';
import type { CellError } from './output';

interface Frame {
  readonly where: string;
  readonly cell: RanCell;
  readonly line: number;
  readonly column: number;
}

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

/** Frames of a stack trace that lie in cells, with the cells' own lines. */
function cellFrames(stack: string): Frame[] {
  const frames: Frame[] = [];
  for (const text of stack.split('\n')) {
    const match = /^\s+at (?:(.*?) \()?(cell:\d+:\d+):(\d+):(\d+)\)?$/.exec(text);
    const cell = match && cellByScript(match[2]);
    if (!cell) continue;
    const place = placeInCell(cell.code, { line: Number(match[3]), column: Number(match[4]) });
    if (!place) continue;
    const name = (match[1] ?? '').replace(/^(async )?\$cells\./, '$1');
    const where = name && !/^(eval|Object\.<anonymous>|<anonymous>)$/.test(name) ? name : '';
    frames.push({ where, cell, ...place });
  }
  return frames;
}

/** Engine messages name the object that holds the variables; readers know the variables alone. */
const withoutHolder = (message: string): string =>
  message.replace(/\(0 , \$cells\.([\w$]+)\)|\$cells\.([\w$]+)/g, '$1$2');

function describe(error: unknown): { ename: string; evalue: string } {
  if (!(error instanceof Error)) {
    const known = error as { name?: unknown; message?: unknown } | null;
    if (typeof known?.name === 'string' && typeof known.message === 'string')
      return { ename: known.name, evalue: known.message };
    return { ename: 'Thrown', evalue: inspect(error) };
  }
  return { ename: String(error.name), evalue: withoutHolder(String(error.message)) };
}

/** What a cell threw as an error with the cell's own lines. `current`: the cell that ran. */
export function runtimeError(error: unknown, current: RanCell | undefined): CellError {
  if (error instanceof Interrupted)
    return { ename: error.name, evalue: error.message, traceback: [error.message] };
  const { ename, evalue } = describe(error);
  const stack = String((error as Error | null)?.stack ?? '');
  const frames = cellFrames(stack);
  const own = frames.find(({ cell }) => cell === current) ?? frames[0];
  const traceback = [`${ename}: ${evalue}`];
  if (own) traceback.push(...excerpt(own.cell.source, own.line, own.column));
  for (const { where, cell, line, column } of frames.slice(0, most))
    traceback.push(
      `    at ${where ? `${where}, ` : ''}${cell === current ? '' : `cell [${cell.count}], `}line ${line}, column ${column}`,
    );
  const cause = (error as { cause?: unknown } | null)?.cause;
  if (cause !== undefined) {
    const { ename: name, evalue: message } = describe(cause);
    traceback.push(`Caused by ${name}: ${message}`);
  }
  for (const one of error instanceof AggregateError ? error.errors.slice(0, most) : []) {
    const { ename: name, evalue: message } = describe(one);
    traceback.push(`  ${name}: ${message}`);
  }
  return {
    ename,
    evalue,
    traceback,
    place: own && own.cell === current ? { line: own.line, column: own.column } : undefined,
  };
}
