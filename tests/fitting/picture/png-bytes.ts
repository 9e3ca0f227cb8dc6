import { zlibSync } from 'fflate';
import { readPng } from '../../../kernel-lib/fitting/picture/picture-png';

export interface PngSetting {
  readonly width: number;
  readonly height: number;
  readonly depth: number;
  /** 0 grey, 2 colour, 3 palette, 4 grey and opacity, 6 colour and opacity. */
  readonly colour: number;
  readonly interlace?: 0 | 1;
}

/** Length, name, body and a sum, which the reader does not check (ISO/IEC 15948, 5.3). */
export function chunk(type: string, body: Iterable<number> = []): number[] {
  const content = [...body];
  return [...bigEnded(content.length), ...ascii(type), ...content, 0, 0, 0, 0];
}

/** ISO/IEC 15948, 11.2.2. */
export const ihdr = ({ width, height, depth, colour, interlace = 0 }: PngSetting) =>
  chunk('IHDR', [...bigEnded(width), ...bigEnded(height), depth, colour, 0, 0, interlace]);

export const png = (...chunks: readonly (readonly number[])[]) =>
  Uint8Array.from([0x89, ...ascii('PNG'), 13, 10, 26, 10, ...chunks.flat()]);

/** A picture whose lines, each with the number of its filter in front, are given as they stand in the file. */
export const pngOf = (
  setting: PngSetting,
  lines: readonly (readonly number[])[],
  ...before: readonly (readonly number[])[]
) => png(ihdr(setting), ...before, chunk('IDAT', packed(lines.flat())), chunk('IEND'));

export const packed = (bytes: readonly number[]) => zlibSync(Uint8Array.from(bytes));

const bigEnded = (value: number) => [
  value >>> 24,
  (value >>> 16) & 255,
  (value >>> 8) & 255,
  value & 255,
];

const ascii = (text: string) => Array.from(text, (letter) => letter.charCodeAt(0));

/** All rows of a picture, copied: a row is only valid while it is handed over. */
export function rowsOf(bytes: Uint8Array): number[][] {
  const rows: number[][] = [];
  readPng(bytes).each((row, y) => {
    rows[y] = Array.from(row);
  });
  return rows;
}
