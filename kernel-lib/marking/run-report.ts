import { ownProperty, type PlainAnswer, readAnswer } from '../questions/answer';
import { crc32 } from './crc32';

/** What a run says of one cell. */
export interface CellReport {
  readonly id: string;
  readonly outputs?: readonly CellOutput[];
  readonly error?: {
    readonly name: string;
    readonly message: string;
    /** Where in the emitted code, both counted from 1. */
    readonly line?: number;
    readonly column?: number;
    /** It did not convert, so nothing of it ran. Told by the marker, never by a run. */
    readonly unrun?: true;
    /** The cell where it happened, where that is told of a question. */
    readonly cell?: string;
    /** Of a cell that was stopped: it had little of the processor, so it waited, or the machine was busy. */
    readonly idle?: true;
  };
}

const most = { cells: 500, id: 200, name: 80, message: 500 };

const count = (value: unknown) =>
  Number.isSafeInteger(value) && (value as number) > 0 ? (value as number) : undefined;

/**
 * Read one line of an untrusted run: where it is, or its end with answers. Anything of another form is nothing.
 *
 * @param line parsed JSON
 * @param questions whose answers are wanted; others are passed over
 */
export function readRun(
  line: unknown,
  questions: readonly string[],
):
  | { readonly at: string }
  | { readonly answers: ReadonlyMap<string, PlainAnswer>; readonly cells: readonly CellReport[] }
  | undefined {
  const at = ownProperty(line, 'at');
  if (at === 'cell' || at === 'question')
    return { at: plainText(ownProperty(line, 'id'), most.id) };
  if (at !== 'end') return undefined;
  const handed = ownProperty(line, 'answers');
  const answers = new Map<string, PlainAnswer>();
  for (const id of questions) {
    const answer = ownProperty(handed, id);
    if (answer !== undefined) answers.set(id, readAnswer(answer));
  }
  const list = ownProperty(line, 'cells');
  const room = fullRoom();
  const cells = Array.isArray(list)
    ? list.slice(0, most.cells).map((cell) => readCell(cell, room))
    : [];
  return { answers, cells };
}

function readCell(cell: unknown, room: Room): CellReport {
  const outputs = readOutputs(ownProperty(cell, 'outputs'), room);
  const error = ownProperty(cell, 'error');
  return {
    id: plainText(ownProperty(cell, 'id'), most.id),
    ...(outputs.length === 0 ? {} : { outputs }),
    ...(error === undefined ? {} : { error: readError(error) }),
  };
}

function readError(error: unknown): CellReport['error'] {
  const line = count(ownProperty(error, 'line'));
  const column = count(ownProperty(error, 'column'));
  const cell = plainText(ownProperty(error, 'cell'), most.id);
  return {
    name: plainText(ownProperty(error, 'name'), most.name) || 'Error',
    message: plainText(ownProperty(error, 'message'), most.message),
    ...(line === undefined ? {} : { line }),
    ...(column === undefined ? {} : { column }),
    ...(cell === '' ? {} : { cell }),
    ...(ownProperty(error, 'idle') === true ? { idle: true } : {}),
  };
}

/** What a cell brought forth as a run tells it: plain text and PNG pictures, nothing that a viewer would run. */
export type CellOutput =
  | { readonly is: 'printed'; readonly name: 'stdout' | 'stderr'; readonly text: string }
  | {
      /** Shown by the cell, or the value of its last expression. */
      readonly is: 'shown' | 'value';
      readonly text: string;
      /** Base64. */
      readonly png?: string;
    };

/** Bounds on it. Texts in UTF-16 units, pictures in base64 digits. */
export const outputBounds = {
  /** Of one cell. */
  outputs: 40,
  text: 4000,
  png: 160_000,
  /** Of one return. */
  allText: 60_000,
  allPng: 480_000,
};

/** What is left of those bounds. */
interface Room {
  text: number;
  png: number;
}

/** @returns room for one return */
export const fullRoom = (): Room => ({ text: outputBounds.allText, png: outputBounds.allPng });

/**
 * Read the outputs of one cell of an untrusted run. What has another form, is no sound PNG, or is too much, is left out.
 *
 * @param list parsed JSON
 * @param room for all cells of the return; what is read is taken off
 */
export function readOutputs(list: unknown, room: Room): CellOutput[] {
  if (!Array.isArray(list)) return [];
  let left = outputBounds.text;
  const textOf = (value: unknown): string => {
    const text = plainText(ownProperty(value, 'text'), Math.min(left, room.text));
    left -= text.length;
    room.text -= text.length;
    return text;
  };
  return list.slice(0, outputBounds.outputs).flatMap((one): CellOutput[] => {
    const is = ownProperty(one, 'is');
    if (is === 'printed') {
      const text = textOf(one);
      const name = ownProperty(one, 'name') === 'stderr' ? 'stderr' : 'stdout';
      return text === '' ? [] : [{ is, name, text }];
    }
    if (is !== 'shown' && is !== 'value') return [];
    const png = pngOf(one, room);
    const text = textOf(one);
    return text === '' && !png ? [] : [{ is, text, ...(png ? { png } : {}) }];
  });
}

function pngOf(one: unknown, room: Room): string | undefined {
  const png = ownProperty(one, 'png');
  if (typeof png !== 'string' || png.length > Math.min(outputBounds.png, room.png))
    return undefined;
  if (!isPlainPng(png)) return undefined;
  room.png -= png.length;
  return png;
}

/** Chunks that hold a picture and nothing else: no text, no profile, nothing of an application's own. */
const pictureChunks = new Set([
  'IHDR',
  'PLTE',
  'tRNS',
  'gAMA',
  'sRGB',
  'pHYs',
  'bKGD',
  'IDAT',
  'IEND',
]);
const pngSignature = '\u0089PNG\r\n\u001a\n';
const mostPixels = 8_000_000;

/**
 * True for a whole PNG picture and nothing besides: the signature, a header with a size that a viewer can bear,
 * chunks of pixels with sound check sums, and the end where the file ends. Pixels are not unpacked.
 *
 * @param base64 the file as text
 * @see W3C Portable Network Graphics (PNG) Specification, sections 5 and 11 (from memory)
 */
export function isPlainPng(base64: string): boolean {
  if (base64.length % 4 !== 0 || !/^[A-Za-z0-9+/]+={0,2}$/.test(base64)) return false;
  const file = atob(base64);
  if (!file.startsWith(pngSignature)) return false;
  const bytes = Uint8Array.from(file, (letter) => letter.charCodeAt(0));
  const view = new DataView(bytes.buffer);
  let at = pngSignature.length;
  let pixels = false;
  for (let n = 0; at + 12 <= bytes.length; n += 1) {
    const length = view.getUint32(at);
    const end = at + 12 + length;
    const type = file.slice(at + 4, at + 8);
    if (end > bytes.length || !pictureChunks.has(type)) return false;
    if (crc32(bytes.subarray(at + 4, end - 4)) !== view.getUint32(end - 4)) return false;
    if ((n === 0) !== (type === 'IHDR') || (n === 0 && length !== 13)) return false;
    if (n === 0) {
      const [width, height] = [view.getUint32(at + 8), view.getUint32(at + 12)];
      if (width < 1 || height < 1 || width * height > mostPixels) return false;
    }
    if (type === 'IEND') return pixels && length === 0 && end === bytes.length;
    pixels ||= type === 'IDAT' && length > 0;
    at = end;
  }
  return false;
}

/** Text out of parsed JSON, cut, without control characters or halves of characters; '' for anything else. */
export function plainText(value: unknown, longest: number): string {
  if (typeof value !== 'string') return '';
  return value.slice(0, Math.max(0, longest)).replace(/[^\P{Cc}\n\t]|\p{Cs}/gu, ' ');
}
