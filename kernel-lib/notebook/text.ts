import type { Cell } from './notebook';

/** A multi-line string of nbformat as one string. */
export function joinLines(text: string | readonly string[]): string {
  return typeof text === 'string' ? text : text.join('');
}

/** One string as nbformat's list of lines, each but the last with its line end. `''` is an empty list. */
export function splitLines(text: string): string[] {
  return text === '' ? [] : text.split(/(?<=\n)/);
}

/** The source of a cell as one string. */
export function sourceOf(cell: Cell): string {
  return joinLines(cell.source);
}
