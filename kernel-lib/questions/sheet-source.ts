import type { AnySheet } from './sheet';

/** Finds a sheet by its name. The kernel, the marker and the tests each bring their own. */
export type FindSheet = (name: string) => AnySheet | undefined;

let findSheet: FindSheet | undefined;
let listNames: () => readonly string[] = () => [];

/**
 * Say where `begin` finds its sheets.
 *
 * @param find the sheet with that name, or undefined
 * @param names all names, for the message when one is not found
 * @example
 * const sheet = { name: '08-a-hair', title: 'A hair', givens: () => ({ diameter: um(70) }), questions: [] };
 * setSheetSource((name) => (name === sheet.name ? sheet : undefined));
 * begin('08-a-hair', '204117').diameter // 7.0e-5
 */
export function setSheetSource(
  find: FindSheet | undefined,
  names: () => readonly string[] = () => [],
): void {
  findSheet = find;
  listNames = names;
}

/** @throws RangeError when there is no such sheet */
export function sheetNamed(name: string): AnySheet {
  if (!findSheet)
    throw new RangeError('No worksheets are at hand here: begin works in a multislit notebook.');
  const sheet = typeof name === 'string' ? findSheet(name) : undefined;
  if (sheet) return sheet;
  const names = listNames();
  const there = names.length > 0 ? ` There are: ${names.join(', ')}.` : '';
  throw new RangeError(`There is no worksheet ${JSON.stringify(name)}.${there}`);
}
