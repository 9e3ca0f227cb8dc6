import type { Notebook } from '../../notebook/notebook';
import {
  filesNamed,
  foldedName,
  isBesideName,
  namesInCells,
  tooMuch,
  withinLimits,
} from '../../travels/files-beside';
import type { FilesBeside, MadeFile } from '../net/host';

/** The files that go along with a notebook, and what the reader should know of others. */
export interface GoingAlong {
  readonly files: readonly { readonly name: string; readonly bytes: Uint8Array }[];
  readonly says: readonly string[];
}

/** Those files beside a notebook that its cells name, as far as they can come along. */
export async function goingAlong(
  { cells }: Pick<Notebook, 'cells'>,
  beside: FilesBeside,
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

/** The one file to send or to keep. What packs it is fetched only now. */
export async function packed(
  notebook: Notebook,
  name: string,
  { files }: GoingAlong,
): Promise<MadeFile> {
  const { packReturn } = await import('../../travels/pack-return');
  return packReturn(notebook, name, files);
}
