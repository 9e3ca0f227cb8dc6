/** Gives the bytes of a file beside the notebook by its name; undefined where there is none of that name. */
export type FindBeside = (name: string) => Uint8Array | undefined;

let findBeside: FindBeside | undefined;
let listBeside: () => readonly string[] = () => [];

/**
 * Say where `fileBeside` finds files. The kernel, the browser and the marker each bring their own.
 *
 * @param find the file with that name, or undefined
 * @param names all names, for the message when one is not found
 * @example
 * setFilesBeside((name) => (name === 'a.csv' ? Uint8Array.of(48) : undefined));
 * fileBeside('a.csv').length // 1
 */
export function setFilesBeside(
  find: FindBeside | undefined,
  names: () => readonly string[] = () => [],
): void {
  findBeside = find;
  listBeside = names;
}

/** Names in the message, at most. */
const mostNames = 12;

/**
 * A file that lies beside the notebook: a photograph or a table of one's own. The same line finds it at home, in a
 * browser, and when the sheet is marked, for such files are handed in with the sheet.
 *
 * @param name as the file is called, such as `my.jpg`, without a folder
 * @returns its bytes, a copy of their own
 * @throws RangeError when there is no such file, or the name leads elsewhere; the sentence says which files there are
 * @example
 * setFilesBeside((name) => (name === 'a.csv' ? new TextEncoder().encode('x / mm;signal\n0;1\n1;2') : undefined));
 * csvProfile(fileBeside('a.csv')).x.length // 2
 */
export function fileBeside(name: string): Uint8Array {
  if (typeof name !== 'string' || name === '')
    throw new TypeError("The name of a file is expected, in quotes, such as 'my.jpg'.");
  const plain = name.replace(/^\.\//, '');
  if (/[/\\:\0]/.test(plain) || plain.startsWith('.'))
    throw new RangeError(
      `"${name}" is not the plain name of a file: give its name alone, such as 'my.jpg', and let the file lie beside the notebook. Only such files are handed in with a sheet.`,
    );
  const found = findBeside?.(plain);
  if (found) return found.slice();
  const names = findBeside ? [...listBeside()].sort() : [];
  const fold = (text: string) => text.normalize('NFC').toLowerCase();
  const near = names.find((one) => fold(one) === fold(plain));
  const more = names.length > mostNames ? ' …' : '';
  const there =
    names.length === 0
      ? 'No file lies there that it could be.'
      : `There are: ${names.slice(0, mostNames).join(', ')}${more}.`;
  throw new RangeError(
    `There is no file "${plain}" beside the notebook. ${near ? `Is "${near}" meant? Capital letters count.` : there}`,
  );
}

/** The bytes themselves, or those of the file beside the notebook with that name. */
export const bytesOf = (file: Uint8Array | string): Uint8Array =>
  typeof file === 'string' ? fileBeside(file) : file;
