const begins = (bytes: Uint8Array, ...start: number[]) =>
  start.every((byte, i) => bytes[i] === byte);
const ascii = (text: string) => [...text].map((letter) => letter.charCodeAt(0));

/** How files begin, from memory: PNG, JPEG, GIF, PDF, RTF, the old Office formats, other archives. */
const beginnings: readonly (readonly [readonly number[], string])[] = [
  [[0x89, ...ascii('PNG')], 'a picture'],
  [[0xff, 0xd8, 0xff], 'a picture'],
  [ascii('GIF8'), 'a picture'],
  [ascii('%PDF'), 'a PDF'],
  [ascii('{\\rtf'), 'a text document'],
  [[0xd0, 0xcf, 0x11, 0xe0], 'a document of an old office program'],
  [ascii('Rar!'), 'an archive of another kind (rar)'],
  [[0x37, 0x7a, 0xbc, 0xaf], 'an archive of another kind (7z)'],
  [[0x1f, 0x8b], 'an archive of another kind (gzip)'],
];

/** What a file is that is no notebook, by how it begins; undefined when that says nothing. */
export function knownKind(bytes: Uint8Array): string | undefined {
  const known = beginnings.find(([start]) => begins(bytes, ...start))?.[1];
  if (known) return known;
  const head = new TextDecoder('latin1').decode(bytes.subarray(0, 200)).trimStart();
  return /^<(?:!doctype html|html)/i.test(head) ? 'a web page' : undefined;
}

/**
 * What a zip is that holds a document: word processors pack their files this way.
 *
 * @see ECMA-376 part 2 for `[Content_Types].xml`, OpenDocument 1.2 part 3 for `mimetype` (both from memory)
 */
export function documentKind(names: ReadonlySet<string>): string | undefined {
  const has = (folder: string) => [...names].some((name) => name.startsWith(folder));
  if (names.has('[Content_Types].xml')) {
    if (has('word/')) return 'a text document';
    if (has('xl/')) return 'a spreadsheet';
    return has('ppt/') ? 'a set of slides' : 'a document';
  }
  if (names.has('mimetype') && (names.has('content.xml') || names.has('META-INF/container.xml')))
    return 'a document';
  return names.has('Index/Document.iwa') ? 'a document' : undefined;
}

/** One sentence for whoever handed it in. */
export const notNotebook = (kind: string) =>
  `It is ${kind}, not a notebook. Hand in the .ipynb file of the sheet.`;
