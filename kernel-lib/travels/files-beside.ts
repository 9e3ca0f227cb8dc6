import { type Notebook, sourceOf } from '../notebook/notebook';

/** A file beside notebooks, by its name; its size in bytes. */
export interface BesideFile {
  readonly name: string;
  readonly size: number;
}

/** A file that came with a notebook, under the name by which its cells read it, and the digest of its bytes. */
export interface FileWith extends BesideFile {
  readonly digest: string;
}

/**
 * Bounds on what a return brings along: files, bytes of one and of all. How many pixels a picture may have is
 * `readPicture`'s to say, which decodes it, at home and behind the marker's walls alike.
 */
export const besideLimits = {
  files: 12,
  file: 20 * 2 ** 20,
  all: 60 * 2 ** 20,
};

const kinds = /\.(?:png|jpe?g|csv|tsv|txt|dat|json)$/i;

/** Longest name, UTF-16 units. */
const longest = 120;

/** Names that mean something else on one system or another. */
const reserved = /^(?:con|prn|aux|nul|com\d|lpt\d)(?:\.|$)/i;

/**
 * True for a name under which a picture or a table can lie beside a notebook on any system: no folder in it, nothing
 * hidden, no character that some system refuses.
 *
 * @example isBesideName('my photo.jpg') // true
 */
export const isBesideName = (name: string): boolean =>
  name.length <= longest &&
  kinds.test(name) &&
  !/[/\\:*?"<>|\p{Cc}\p{Bidi_Control}\uFFFD]/u.test(name) &&
  !/^[.\s~]|\s$/.test(name) &&
  !reserved.test(name);

/** The names alike in all that systems and packers change: capital letters, how letters with marks are put together. */
export const foldedName = (name: string): string => name.normalize('NFC').toLowerCase();

const quoted = /["'`(/]([^"'`()/\\\n]{1,120}\.(?:png|jpe?g|csv|tsv|txt|dat|json))(?=["'`)])/giu;

/**
 * The names of pictures and tables that stand in quotes, as in `readPicture('my.jpg')`, or that a text shows, each once
 * and as it is written there.
 */
export const namesInText = (text: string): string[] => [
  ...new Set([...text.matchAll(quoted)].map(([, name]) => name)),
];

/** The same of all cells of a notebook. */
export const namesInCells = (cells: Notebook['cells']): string[] => [
  ...new Set(cells.flatMap((cell) => namesInText(sourceOf(cell)))),
];

/** Those of the files that a notebook's cells name, in the order in which they do. */
export function filesNamed<File extends BesideFile>(
  cells: Notebook['cells'],
  files: readonly File[],
): File[] {
  const byName = new Map(files.map((file) => [file.name.normalize('NFC'), file]));
  return namesInCells(cells).flatMap((name) => byName.get(name.normalize('NFC')) ?? []);
}

const megabytes = (bytes: number) => `${(bytes / 2 ** 20).toFixed(0)} MB`;

/** Why a file cannot come along, in one sentence; undefined where it can. */
export function tooMuch({ name, size }: BesideFile): string | undefined {
  if (size <= besideLimits.file) return undefined;
  return `${name} has ${megabytes(size)}; up to ${megabytes(besideLimits.file)} come along. Cut the picture to the pattern, or leave out rows of the table.`;
}

/** As many of the files as come along, from the first on, and a sentence on those that do not. */
export function withinLimits<File extends BesideFile>(
  files: readonly File[],
): { taken: File[]; says?: string } {
  let left = besideLimits.all;
  const taken: File[] = [];
  const over: string[] = [];
  for (const file of files) {
    if (taken.length < besideLimits.files && file.size <= left) {
      taken.push(file);
      left -= file.size;
    } else over.push(file.name);
  }
  if (over.length === 0) return { taken };
  const which = over.slice(0, 5).join(', ');
  return {
    taken,
    says: `Left out: ${which}${over.length > 5 ? ' and more' : ''}. With a notebook come at most ${besideLimits.files} files and ${megabytes(besideLimits.all)} in all.`,
  };
}

/** The files that go along with a notebook, and what the reader should know of others. */
export interface GoingAlong {
  readonly files: readonly { readonly name: string; readonly bytes: Uint8Array }[];
  readonly says: readonly string[];
}

/** Those files beside a notebook that its cells name, as far as they can come along. */
export async function goingAlong(
  { cells }: Pick<Notebook, 'cells'>,
  beside: {
    names(): Promise<readonly string[]>;
    read(name: string): Promise<Uint8Array>;
  },
): Promise<GoingAlong> {
  const names = namesInCells(cells);
  if (names.length === 0) return { files: [], says: [] };
  const there = (await beside.names()).filter(isBesideName);
  const found = filesNamed(
    cells,
    there.map((name) => ({ name, size: 0 })),
  );
  const says: string[] = [];
  for (const name of names) {
    const near = there.find((one) => foldedName(one) === foldedName(name));
    if (near !== undefined && near.normalize('NFC') !== name.normalize('NFC'))
      says.push(
        `A cell says “${name}”, the file is called “${near}”: capital letters count when it is marked. Write it in the cell as it is called.`,
      );
  }
  const read = [];
  for (const { name } of found) {
    const bytes = await beside.read(name);
    const why = tooMuch({ name, size: bytes.length });
    if (why === undefined) read.push({ name, bytes, size: bytes.length });
    else says.push(why);
  }
  const { taken, says: over } = withinLimits(read);
  return { files: taken, says: over === undefined ? says : [...says, over] };
}
