import { strToU8, type Zippable, zipSync } from 'fflate';
import { withoutMetadata } from '../fitting/picture/private-picture';
import type { Notebook } from '../notebook/notebook';
import { writeNotebook } from '../notebook/write-notebook';
import { withoutPrivateMarks } from './private-notebook';

/** One file to be sent. */
export interface PackedReturn {
  readonly name: string;
  readonly content: string | Uint8Array;
}

const isPicture = (name: string) => /\.(?:png|jpe?g)$/i.test(name);

/** A picture bare of what a camera wrote beside its pixels; anything else as it is. */
function bareFile(name: string, bytes: Uint8Array): Uint8Array {
  if (!isPicture(name)) return bytes;
  try {
    return withoutMetadata(bytes);
  } catch {
    throw new RangeError(
      `${name} is no PNG or JPEG that can be read, whatever its name says, so what a camera may have written into it (place, date, device) cannot be taken out. Save it anew as JPEG or PNG, or take its name out of the cells.`,
    );
  }
}

/**
 * The one file of a return: the notebook, or a zip of it with the files that its cells read. Position, device and date
 * are taken out of every picture in it.
 *
 * @param name of the notebook, ending in `.ipynb`; a zip is called the same
 * @throws RangeError when a picture cannot be looked into
 */
export function packReturn(
  notebook: Notebook,
  name: string,
  files: readonly { readonly name: string; readonly bytes: Uint8Array }[],
): PackedReturn {
  const text = writeNotebook(withoutPrivateMarks(notebook));
  if (files.length === 0) return { name, content: text };
  const parts: Zippable = { [name]: [strToU8(text), { level: 6 }] };
  for (const { name: file, bytes } of files)
    parts[file] = [bareFile(file, bytes), { level: isPicture(file) ? 0 : 6 }];
  return { name: name.replace(/\.ipynb$/, '.zip'), content: zipSync(parts) };
}
