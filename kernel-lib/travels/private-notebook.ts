import { base64, bytesOfBase64 } from '../display/base64';
import { withoutMetadata } from '../fitting/picture/private-picture';
import type { Cell, Notebook } from '../notebook/notebook';

const isPictureType = (type: string) => /^image\/(?:png|jpeg)$/.test(type);
const pictureAddress = /(data:image\/(?:png|jpe?g);base64,)([A-Za-z0-9+/]+={0,2})/g;

/** The picture without what a camera wrote beside its pixels; as it stands where it has nothing of the kind. */
function barePicture(text: string): string {
  try {
    const bytes = bytesOfBase64(text.replace(/\s/g, ''));
    const bare = withoutMetadata(bytes);
    return bare.length === bytes.length ? text : base64(bare);
  } catch {
    // No picture that anything here could look into: a viewer will not show it either.
    return text;
  }
}

/** The same value with every picture in it bare; the very same where none had to be changed. */
function bare(value: unknown, type = ''): unknown {
  if (typeof value === 'string') {
    if (isPictureType(type)) return barePicture(value);
    if (!value.includes('data:image/')) return value;
    return value.replace(
      pictureAddress,
      (_, head: string, text: string) => head + barePicture(text),
    );
  }
  if (Array.isArray(value)) {
    // A text may stand in a notebook as its lines.
    if (value.every((one) => typeof one === 'string')) {
      const whole = value.join('');
      const changed = bare(whole, type);
      return changed === whole ? value : [changed];
    }
    return value.map((one) => bare(one));
  }
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, bare(one, key)]));
}

/**
 * A notebook whose pictures, in outputs and attached to texts, hold nothing but pixels and which side is up: what a
 * camera writes beside them (place, date, device, owner, preview) does not go along when it is handed in.
 */
export function withoutPrivateMarks(notebook: Notebook): Notebook {
  const cells = notebook.cells.map((cell): Cell => {
    const { attachments } = cell as { attachments?: unknown };
    const attached = attachments === undefined ? {} : { attachments: bare(attachments) };
    if (cell.cell_type !== 'code') return { ...cell, ...attached } as Cell;
    return { ...cell, outputs: bare(cell.outputs) as typeof cell.outputs };
  });
  return { ...notebook, cells };
}
