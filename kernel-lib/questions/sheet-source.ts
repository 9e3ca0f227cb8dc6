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
