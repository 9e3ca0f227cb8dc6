import { cellByScript, type RanCell } from './cell-scripts';
import { attempt, headingOf } from './describe-thrown';

/** A frame of a stack that lies in a cell's emitted code, counted from 1. */
export interface EmittedFrame {
  readonly script: string;
  readonly line: number;
  readonly column: number;
  /** The function, as the engine names it. */
  readonly name: string;
}

/** The same with the cell's own lines. */
export interface CellFrame {
  readonly where: string;
  readonly cell: RanCell;
  readonly line: number;
  readonly column: number;
}

const inCell = /^(?:(.*?) \()?(cell:\d+:\d+):(\d+):(\d+)\)?$/;
/** Files of this program and of Node say nothing to who wrote the cell. */
const inside =
  /(?:^|\()(?:node:|evalmachine\.|multislit:)|[\\/]\.build[\\/][\w-]+\.cjs:|[\\/]kernel-lib[\\/]|^new Promise \(<anonymous>\)|^<anonymous>$/;

/** Frames of errors whose stack was put into words, as the engine had them. */
const framesByError = new WeakMap<object, readonly EmittedFrame[]>();

function emittedFrame(text: string): EmittedFrame | undefined {
  const match = inCell.exec(text);
  if (!match) return undefined;
  const [, name = '', script, line, column] = match;
  return { script, line: Number(line), column: Number(column), name };
}

/** Frames of an error that lie in cells, in their emitted code. Never throws. */
export function emittedFrames(error: unknown): readonly EmittedFrame[] {
  const isObject = (typeof error === 'object' && error !== null) || typeof error === 'function';
  if (!isObject) return [];
  // Looking at the stack is what has it put into words.
  const stack = attempt(() => (error as Error).stack, undefined);
  const known = framesByError.get(error as object);
  if (known || typeof stack !== 'string') return known ?? [];
  const lines = stack.slice(0, 100_000).split('\n');
  return lines.flatMap((line) => emittedFrame(line.replace(/^\s+at /, '')) ?? []);
}

function ownName(name: string): string {
  const plain = name.replace(/^(async )?\$cells(?:\$\d+)?\./, '$1');
  return /^(async )?(eval|Object\.<anonymous>|<anonymous>)$/.test(plain) ? '' : plain;
}

function cellFrame({ script, line, column, name }: EmittedFrame): CellFrame | undefined {
  const cell = cellByScript(script);
  const place = cell?.place?.({ line, column });
  return cell && place && { where: ownName(name), cell, ...place };
}

/** Frames of an error in the lines of the cells that they are from. */
export const cellFrames = (error: unknown): CellFrame[] =>
  emittedFrames(error).flatMap((frame) => cellFrame(frame) ?? []);

function told(frame: EmittedFrame): string | undefined {
  const cell = cellByScript(frame.script);
  if (!cell) return undefined;
  const own = cellFrame(frame);
  // Where emitted code came from nothing that the cell says, there is nothing to tell; see `emit.ts`.
  if (cell.place && !own) return undefined;
  const name = ownName(frame.name);
  const place = `cell [${cell.count}]${own ? `, line ${own.line}, column ${own.column}` : ''}`;
  return `    at ${name ? `${name} (${place})` : place}`;
}

/**
 * From now on `error.stack` of what goes through a cell names the cell's own lines, and nothing of the program
 * around it. Other errors keep the form that they had.
 */
export function installCellStacks(): void {
  const before = Error.prepareStackTrace;
  Error.prepareStackTrace = (error, sites) => {
    const texts = attempt(() => sites.map(String), []);
    const frames = texts.flatMap((text) => emittedFrame(text) ?? []);
    if (frames.length === 0) {
      if (before) return before(error, sites);
      return [headingOf(error), ...texts.map((text) => `    at ${text}`)].join('\n');
    }
    framesByError.set(error, frames);
    const lines = texts.flatMap((text) => {
      const frame = emittedFrame(text);
      if (frame) return told(frame) ?? [];
      return inside.test(text) ? [] : `    at ${text}`;
    });
    return [headingOf(error), ...lines].join('\n');
  };
}
