import { contentOf, type ZipEntry, ZipError, zipEntries } from './zip-entries';

/** One file that came back, wherever it lay: in a folder, in a zip, in a zip inside a zip. */
export interface ReturnedFile {
  /** Where it lay, as `labelOf` writes it; parts inside an archive follow the archive's own name. Only ever read. */
  readonly path: string;
  readonly bytes: Uint8Array;
  /** When the file on the disk was saved, ms since 1970: this one, or the outermost archive that it lay in. */
  readonly time?: number;
  /** Of a file out of an archive: what the outermost archive says of the entry that led to it. */
  readonly archive?: {
    readonly path: string;
    readonly entry: string;
    /** When that entry was saved, ms since 1970. */
    readonly time?: number;
  };
}

/** A file that could not be looked at, and why, in one sentence. */
export interface Refused {
  readonly path: string;
  readonly reason: 'cannot be read' | 'not a notebook' | 'too large' | 'left by a system';
  readonly why: string;
  /** How many files this is said of; one unless given. */
  readonly count?: number;
}

/** Bounds that keep a harmful archive from filling memory. Sizes in bytes. */
interface UnpackLimits {
  readonly file: number;
  readonly archive: number;
  readonly entries: number;
  readonly depth: number;
}

export const unpackLimits: UnpackLimits = {
  file: 20 * 2 ** 20,
  archive: 200 * 2 ** 20,
  entries: 5000,
  depth: 3,
};

/** Longest list of files that is gone through at all. */
const longestList = 100_000;

const megabytes = (bytes: number) => `${(bytes / 2 ** 20).toFixed(0)} MB`;

/** True for a file that begins as a zip does, whatever its name. */
export function isZip(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b && (bytes[2] === 3 || bytes[2] === 5);
}

const litter = /^(?:\._.*|\.ds_store|thumbs\.db|desktop\.ini)$/i;
const litterFolder = /^(?:__MACOSX|\.ipynb_checkpoints|\.git|node_modules)$/;

/** Files that systems and programs leave beside people's own: no returns, whatever they hold. */
export function isLitter(path: string): boolean {
  const parts = path.split('/');
  return litter.test(parts[parts.length - 1]) || parts.some((part) => litterFolder.test(part));
}

export const leftBySystem = (path: string): Refused => ({
  path,
  reason: 'left by a system',
  why: 'A file that a system or a program keeps for itself; no return.',
});

/**
 * All files in an archive, and in archives inside it, one by one.
 *
 * Nothing is written anywhere: an entry's path is only a label, so `../` and links in it reach nothing, and two
 * entries of one name are two files. Sizes are bounded by what the archive declares, and an entry that does not
 * unpack to that is refused by itself. Notebooks are looked at before anything else.
 *
 * @param refuse told of everything that is not among the files
 */
export function* unpack(
  archive: ReturnedFile,
  refuse: (one: Refused) => void,
  limits: UnpackLimits = unpackLimits,
): Generator<ReturnedFile> {
  const left = { bytes: limits.archive, entries: limits.entries };
  yield* open(archive, 1);

  function* open(outer: ReturnedFile, depth: number): Generator<ReturnedFile> {
    const { path, bytes } = outer;
    const entries = listOf(outer);
    const kind = documentKind(new Set(entries.map(({ name }) => name)));
    if (kind && !/\.ipynb$/i.test(entries[0].name)) {
      refuse({ path, reason: 'not a notebook', why: notNotebook(kind) });
      return;
    }
    let tooMany = 0;
    for (const entry of entries) {
      const label = labelOf(`${path}/${entry.name}`);
      if (isLitter(labelOf(entry.name))) {
        refuse(leftBySystem(label));
        continue;
      }
      if (entry.isLink) {
        const why = 'It is a link; links are not followed.';
        refuse({ path: label, reason: 'cannot be read', why });
        continue;
      }
      if (entry.size > limits.file) {
        const why = `The file unpacks to ${megabytes(entry.size)}; up to ${megabytes(limits.file)} are looked at.`;
        refuse({ path: label, reason: 'cannot be read', why });
        continue;
      }
      left.bytes -= entry.size;
      left.entries -= 1;
      if (left.bytes < 0 || left.entries < 0) {
        tooMany += 1;
        continue;
      }
      const content = readEntry(bytes, entry, label);
      if (!content) continue;
      const file = { ...fromArchive(outer, entry), path: label, bytes: content };
      if (!isZip(content)) yield file;
      else if (depth < limits.depth) yield* open(file, depth + 1);
      else {
        const why = 'Archives inside archives lie too deep here. Ask for the notebook itself.';
        refuse({ path: label, reason: 'cannot be read', why });
      }
    }
    if (tooMany > 0) {
      const why = `The archive holds more than is looked at: ${tooMany} of its files were left. Split it.`;
      refuse({ path, reason: 'cannot be read', why, count: tooMany });
    }
  }

  /** Notebooks first, then archives: whatever else is in it, they are not beyond the bounds. */
  function listOf({ path, bytes }: ReturnedFile): ZipEntry[] {
    const lists: [ZipEntry[], ZipEntry[], ZipEntry[]] = [[], [], []];
    let seen = 0;
    try {
      for (const entry of zipEntries(bytes)) {
        seen += 1;
        if (seen > longestList) throw new ZipError(`it lists more than ${longestList} files`);
        if (/[/\\]$/.test(entry.name)) continue;
        const rank = /\.ipynb$/i.test(entry.name) ? 0 : /\.zip$/i.test(entry.name) ? 1 : 2;
        lists[rank].push({ ...entry, name: labelOf(entry.name) });
      }
    } catch (error) {
      if (!(error instanceof ZipError)) throw error;
      const why = `The archive is damaged (${error.message}). Ask for it again.`;
      refuse({ path, reason: 'cannot be read', why });
    }
    return lists.flat();
  }

  function readEntry(bytes: Uint8Array, entry: ZipEntry, path: string): Uint8Array | undefined {
    try {
      return contentOf(bytes, entry);
    } catch (error) {
      if (!(error instanceof ZipError)) throw error;
      const why = `This file of the archive cannot be unpacked: ${error.message}. Ask for it again.`;
      refuse({ path, reason: 'cannot be read', why });
      return undefined;
    }
  }
}

/** The outermost archive's stamp stays: one further in was made by whoever packed that. */
function fromArchive(
  { path, time, archive }: ReturnedFile,
  entry: ZipEntry,
): Pick<ReturnedFile, 'time' | 'archive'> {
  return {
    ...(time === undefined ? {} : { time }),
    archive: archive ?? {
      path,
      entry: entry.name,
      ...(entry.time === undefined ? {} : { time: entry.time }),
    },
  };
}

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
function documentKind(names: ReadonlySet<string>): string | undefined {
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

/** Longest label, UTF-16 units. What is longer is nobody's name of a file. */
const longest = 300;

/**
 * A path as it stands in tables and pages: `/` between folders, no control characters, cut in the middle when long.
 * Never used to open anything.
 *
 * @example labelOf('mine\\a.ipynb') // 'mine/a.ipynb'
 */
export function labelOf(path: string): string {
  const ends =
    path.length > longest ? `${fresh(path.slice(0, 140))} … ${fresh(path.slice(-150))}` : path;
  return ends.replaceAll('\\', '/').replace(/[\p{Cc}\p{Bidi_Control}]/gu, '\uFFFD');
}

/** A string of its own: a slice would keep all of a long one in memory. */
const fresh = (text: string) => text.split('').join('');
