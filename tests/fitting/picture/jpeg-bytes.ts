import { expect } from 'vitest';
import { readJpeg } from '../../../kernel-lib/fitting/picture/picture-jpeg';

/** One component as the frame names it: sampled `across` × `down` times in a unit. */
export interface Component {
  readonly id: number;
  readonly across?: number;
  readonly down?: number;
  readonly table?: number;
}

export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly components?: readonly Component[];
  readonly bits?: number;
}

const wide = (value: number) => [value >> 8, value & 255];

/** Marker, length with itself, body (ITU-T T.81, B.1.1.4). */
export const segment = (marker: number, body: readonly number[] = []) => [
  0xff,
  marker,
  ...wide(body.length + 2),
  ...body,
];

export const jpeg = (...parts: readonly (readonly number[])[]) =>
  Uint8Array.from([0xff, 0xd8, ...parts.flat(), 0xff, 0xd9]);

/** B.2.2; marker 0xc0 + `kind`. */
export const frame = ({ width, height, components = [{ id: 1 }], bits = 8 }: Frame, kind = 0) =>
  segment(0xc0 + kind, [
    bits,
    ...wide(height),
    ...wide(width),
    components.length,
    ...components.flatMap(({ id, across = 1, down = 1, table = 0 }) => [
      id,
      16 * across + down,
      table,
    ]),
  ]);

/** A quantisation table, values in the order of the file (B.2.4.1). */
export const quantisation = (values: readonly number[], number = 0) =>
  segment(0xdb, [number, ...values]);
export const flat = (value: number) => quantisation(Array(64).fill(value));

/** B.2.4.2: `counts` of codes of 1, 2, … bits, then what they stand for. */
export const huffman = (kind: 0 | 1, number: number, counts: number[], symbols: number[]) =>
  segment(0xc4, [16 * kind + number, ...counts, ...Array(16 - counts.length).fill(0), ...symbols]);

const upTo = (end: number) => Array.from({ length: end }, (_, k) => k);
/** Simplest codes: a category's number in 4 bits for DC, run and size in 8 bits for AC. */
export const plainTables = [
  ...huffman(0, 0, [0, 0, 0, 12], upTo(12)),
  ...huffman(1, 0, [0, 0, 0, 0, 0, 0, 0, 255], upTo(255)),
];

/** Head of the scan: identifier and tables of each component (B.2.3). */
export const scan = (...components: readonly (readonly [id: number, dc?: number, ac?: number])[]) =>
  segment(0xda, [
    components.length,
    ...components.flatMap(([id, dc = 0, ac = 0]) => [id, 16 * dc + ac]),
    0,
    63,
    0,
  ]);

/** A block in `plainTables`: difference of DC, then the other coefficients in the order of the file (F.1.2). */
export function block(difference: number, others: readonly number[] = []): string {
  let bits = binary(sizeOf(difference), 4) + signed(difference);
  let zeros = 0;
  for (const value of others) {
    if (value === 0) zeros++;
    else {
      for (; zeros > 15; zeros -= 16) bits += binary(0xf0, 8);
      bits += binary(16 * zeros + sizeOf(value), 8) + signed(value);
      zeros = 0;
    }
  }
  return others.length < 63 || zeros > 0 ? bits + binary(0, 8) : bits;
}

/** Bits filled up with ones to bytes; behind 0xff stands 0 (F.1.2.3). */
export const coded = (...bits: readonly string[]): number[] =>
  (bits.join('').match(/.{1,8}/g) ?? []).flatMap((part) => {
    const byte = Number.parseInt(part.padEnd(8, '1'), 2);
    return byte === 0xff ? [0xff, 0] : [byte];
  });

/** A grey picture of one table; `bits` block after block. */
export const greyJpeg = (size: Frame, step: number, ...bits: readonly string[]) =>
  jpeg(flat(step), frame(size), plainTables, scan([1]), coded(...bits));

const sizeOf = (value: number) => (value === 0 ? 0 : Math.abs(value).toString(2).length);
const signed = (value: number) => {
  const size = sizeOf(value);
  if (size === 0) return '';
  return binary(value > 0 ? value : value + 2 ** size - 1, size);
};
const binary = (value: number, digits: number) => value.toString(2).padStart(digits, '0');
/** Along the diagonals, to and fro (T.81, figure A.6): row and column of each coefficient in the file. */
export const diagonals = Array.from({ length: 15 }, (_, sum) => {
  const cells = upTo(8)
    .map((row): [row: number, column: number] => [row, sum - row])
    .filter(([, column]) => column >= 0 && column < 8);
  return sum % 2 === 0 ? cells.reverse() : cells;
}).flat();

/** T.81, A.3.3: the inverse transform as it is defined, coefficients by row and column, levels not yet cut. */
export function inverseByDefinition(coefficients: ArrayLike<number>, x: number, y: number): number {
  const share = (k: number) => (k === 0 ? Math.SQRT1_2 : 1);
  const wave = (at: number, k: number) => Math.cos(((2 * at + 1) * k * Math.PI) / 16);
  let sum = 0;
  for (let v = 0; v < 8; v++)
    for (let u = 0; u < 8; u++)
      sum += share(u) * share(v) * coefficients[8 * v + u] * wave(x, u) * wave(y, v);
  return sum / 4 + 128;
}

/** With steps of 8 a first number of n makes a flat block of 128 + n. */
export const step = 8;

/** Whether three components are luminance and two differences (1) or red, green and blue (0). */
export const adobe = (transform: number) =>
  segment(0xee, [
    ...Array.from('Adobe', (letter) => letter.charCodeAt(0)),
    0,
    100,
    0,
    0,
    0,
    0,
    transform,
  ]);

export const sampled = (...by: [across: number, down: number][]): Component[] =>
  by.map(([across, down], k) => ({ id: k + 1, across, down }));

/** All rows of a picture, copied, and handed over in order. */
export function rowsOf(bytes: Uint8Array): number[][] {
  const rows: number[][] = [];
  readJpeg(bytes).each((row, y) => {
    rows.push(Array.from(row));
    expect(rows).toHaveLength(y + 1);
  });
  return rows;
}
