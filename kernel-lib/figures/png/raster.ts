import { lettering } from './lettering';

export type Colour = readonly [number, number, number];

/** A picture of 8-bit RGB pixels, row by row from the top. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** A new picture of one colour. */
export function raster(width: number, height: number, colour: Colour): Raster {
  const data = new Uint8Array(width * height * 3);
  for (let i = 0; i < data.length; i++) data[i] = colour[i % 3];
  return { width, height, data };
}

/** Lays the same row of RGB pixels into `rows` rows, its left end at column `left`. */
export function layRow(
  to: Raster,
  row: ArrayLike<number>,
  left: number,
  top: number,
  rows: number,
) {
  for (let y = top; y < top + rows; y++) to.data.set(row, (y * to.width + left) * 3);
}

function blend(to: Raster, x: number, y: number, colour: Colour, cover: number): void {
  if (x < 0 || y < 0 || x >= to.width || y >= to.height) return;
  const at = (y * to.width + x) * 3;
  for (let c = 0; c < 3; c++) {
    to.data[at + c] = Math.round(to.data[at + c] * (1 - cover) + colour[c] * cover);
  }
}

/** Distance from (x, y) to the stroke from a to b. */
function distance(x: number, y: number, [ax, ay]: number[], [bx, by]: number[]): number {
  const [dx, dy] = [bx - ax, by - ay];
  const square = dx * dx + dy * dy;
  const along = square === 0 ? 0 : ((x - ax) * dx + (y - ay) * dy) / square;
  const t = Math.min(1, Math.max(0, along));
  return Math.hypot(x - ax - t * dx, y - ay - t * dy);
}

/** Draws joined strokes with a round pen, edges softened over one pixel. */
export function stroke(to: Raster, lines: number[][][], colour: Colour, pen: number): void {
  const all = lines.flat();
  const left = Math.floor(Math.min(...all.map(([x]) => x)) - pen);
  const right = Math.ceil(Math.max(...all.map(([x]) => x)) + pen);
  const top = Math.floor(Math.min(...all.map(([, y]) => y)) - pen);
  const bottom = Math.ceil(Math.max(...all.map(([, y]) => y)) + pen);
  for (let y = top; y <= bottom; y++) {
    for (let x = left; x <= right; x++) {
      let nearest = Number.POSITIVE_INFINITY;
      for (const line of lines) {
        for (let i = 1; i < line.length; i++) {
          nearest = Math.min(nearest, distance(x + 0.5, y + 0.5, line[i - 1], line[i]));
        }
      }
      const cover = Math.min(1, pen / 2 + 0.5 - nearest);
      if (cover > 0) blend(to, x, y, colour, cover);
    }
  }
}

/** Writes a text, base line at `y`; `x` is its left end, middle or right end. */
export function write(
  to: Raster,
  text: string,
  x: number,
  y: number,
  { size, colour, anchor }: { size: number; colour: Colour; anchor: 'start' | 'middle' | 'end' },
): void {
  const { strokes, width } = lettering(text, size);
  const left = x - width * { start: 0, middle: 0.5, end: 1 }[anchor];
  for (const line of strokes) {
    const placed = line.map(([px, py]) => [left + px, y - py]);
    stroke(to, [placed], colour, size * 0.135);
  }
}
