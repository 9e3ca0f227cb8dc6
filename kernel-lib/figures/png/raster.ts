export type Colour = readonly [number, number, number];

/** A picture of 8-bit RGB pixels, row by row from the top. */
interface Raster {
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

type Point = readonly [number, number];

/** A text as pen strokes, base line 0 and cap height `size`, with its width. */
interface Lettering {
  readonly strokes: readonly (readonly Point[])[];
  readonly width: number;
}

const tofu = '0,0 0,10 6,10 6,0 0,0';
const known = new Map<string, Lettering>();

function arc(numbers: string): Point[] {
  const [cx, cy, rx, ry, from, to] = numbers.split(',').map(Number);
  const steps = Math.max(2, Math.ceil(Math.abs(to - from) / 15));
  return Array.from({ length: steps + 1 }, (_, i): Point => {
    const angle = ((from + ((to - from) * i) / steps) * Math.PI) / 180;
    return [cx + rx * Math.cos(angle), cy + ry * Math.sin(angle)];
  });
}

function glyph(character: string): Lettering {
  const before = known.get(character);
  if (before) return before;
  const strokes = (glyphs[character] ?? tofu).split(';').map((stroke) =>
    stroke.split(' ').flatMap((word): Point[] => {
      if (word.startsWith('o')) return arc(word.slice(1));
      const [x, y] = word.split(',').map(Number);
      return [[x, y]];
    }),
  );
  const width = Math.max(...strokes.flat().map(([x]) => x));
  const letter = { strokes, width };
  known.set(character, letter);
  return letter;
}

/** Letters a text in capitals `size` pixels high. A character without strokes becomes an empty box. */
export function lettering(text: string, size: number): Lettering {
  const unit = size / 10;
  const strokes: Point[][] = [];
  let x = 0;
  for (const character of text) {
    if (character === ' ') {
      x += 4.2;
      continue;
    }
    const letter = glyph(character);
    for (const stroke of letter.strokes) {
      strokes.push(stroke.map(([px, py]): Point => [(px + x) * unit, py * unit]));
    }
    x += letter.width + 2.2;
  }
  return { strokes, width: Math.max(0, x - 2.2) * unit };
}

/**
 * Letters as pen strokes, for lettering on pictures without a browser or a font file.
 * Cap height 10, x-height 7, base line 0. Strokes are parted by `;`, points by spaces;
 * `o cx,cy,rx,ry,a,b` is an arc of an ellipse from angle a to b in degrees.
 */
const bowl = 'o3,3.5,3,3.5,0,360';

const glyphs: Readonly<Record<string, string>> = {
  a: `${bowl};6,7 6,0`,
  b: `0,10 0,0;${bowl}`,
  c: 'o3,3.5,3,3.5,48,312',
  d: `${bowl};6,10 6,0`,
  e: '0,3.5 6,3.5 o3,3.5,3,3.5,0,312',
  f: 'o4,8,2,2,65,180 2,0;0,7 4.2,7',
  g: `${bowl};6,7 6,-0.5 o3,-0.5,3,2.6,0,-145`,
  h: '0,10 0,0;o3,4,3,3,180,0 6,0',
  i: '0.5,7 0.5,0;0.5,9.6 0.5,9.8',
  j: '2,7 2,-1 o0,-1,2,2,0,-90;2,9.6 2,9.8',
  k: '0,10 0,0;5,7 0,2.4;1.9,4.2 5.4,0',
  l: '0.5,10 0.5,0',
  m: '0,7 0,0;o2.25,4.75,2.25,2.25,180,0 4.5,0;o6.75,4.75,2.25,2.25,180,0 9,0',
  n: '0,7 0,0;o3,4,3,3,180,0 6,0',
  o: bowl,
  p: `0,7 0,-3;${bowl}`,
  q: `${bowl};6,7 6,-3`,
  r: '0,7 0,0;o3,4,3,3,180,75',
  s: 'o2.5,5.25,2.3,1.75,40,270 o2.5,1.75,2.5,1.75,90,-145',
  t: '2,9.6 2,2 o4,2,2,2,180,290;0,7 4.4,7',
  u: '0,7 0,3 o3,3,3,3,180,360;6,7 6,0',
  v: '0,7 3,0 6,7',
  w: '0,7 2.1,0 4.2,7 6.3,0 8.4,7',
  x: '0,7 5.6,0;5.6,7 0,0',
  y: '0,7 3,0;6,7 2,-2.5 0.6,-3',
  z: '0.2,7 5.4,7 0,0 5.6,0',
  A: '0,0 3.5,10 7,0;1.1,3.3 5.9,3.3',
  B: '0,5.3 3.4,5.3 o3.4,7.65,2.4,2.35,-90,90 0,10 0,0 3.6,0 o3.6,2.65,2.8,2.65,-90,90',
  C: 'o4.5,5,4.5,5,48,312',
  D: '0,0 0,10 2.5,10 o2.5,5,4.5,5,90,-90 0,0',
  E: '5.6,10 0,10 0,0 5.8,0;0,5.3 5,5.3',
  F: '5.6,10 0,10 0,0;0,5.3 5,5.3',
  G: 'o4.5,5,4.5,5,48,312 7.6,4.8 4.8,4.8',
  H: '0,0 0,10;6.6,0 6.6,10;0,5.3 6.6,5.3',
  I: '0.5,0 0.5,10',
  J: '4,10 4,2.4 o2,2.4,2,2.4,0,-150',
  K: '0,0 0,10;6.2,10 0,3.8;2.3,6.1 6.6,0',
  L: '0,10 0,0 5.6,0',
  M: '0,0 0,10 4,3 8,10 8,0',
  N: '0,0 0,10 6.6,0 6.6,10',
  O: 'o4.5,5,4.5,5,0,360',
  P: '0,0 0,10 3.4,10 o3.4,7.3,2.7,2.7,90,-90 0,4.6',
  Q: 'o4.5,5,4.5,5,0,360;5.6,2.6 8.6,-0.8',
  R: '0,0 0,10 3.4,10 o3.4,7.4,2.6,2.6,90,-90 0,4.8;3.4,4.8 6.4,0',
  S: 'o3.1,7.5,2.9,2.5,35,270 o3.1,2.5,3.1,2.5,90,-150',
  T: '0,10 7,10;3.5,10 3.5,0',
  U: '0,10 0,3.2 o3.2,3.2,3.2,3.2,180,360 6.4,10',
  V: '0,10 3.5,0 7,10',
  W: '0,10 2.6,0 5.2,10 7.8,0 10.4,10',
  X: '0,10 6.4,0;6.4,10 0,0',
  Y: '0,10 3.4,4.8 6.8,10;3.4,4.8 3.4,0',
  Z: '0.2,10 6.2,10 0,0 6.4,0',
  '0': 'o3,5,3,5,0,360',
  '1': '0.6,7.8 3.2,10 3.2,0',
  '2': 'o3,7.2,2.8,2.8,160,-38 0,0 6,0',
  '3': 'o2.8,7.6,2.5,2.4,150,-90 o2.8,2.6,3,2.6,90,-150',
  '4': '4.5,0 4.5,10 0,3 6.2,3',
  '5': '5.3,10 1,10 0.6,5.5 o2.9,3.3,3.1,3.3,138,-150',
  '6': 'o3,3.2,3,3.2,0,360;o6,3.2,6,6.9,180,105',
  '7': '0,10 6,10 2.1,0',
  '8': 'o3,7.6,2.5,2.4,0,360;o3,2.6,3,2.6,0,360',
  '9': 'o3,6.8,3,3.2,0,360;o0,6.8,6,6.9,0,-75',
  '.': '0.5,0 0.5,0.2',
  ',': '0.7,0.3 0,-1.8',
  ':': '0.5,0 0.5,0.2;0.5,6 0.5,6.2',
  ';': '0.7,0.3 0,-1.8;0.7,6 0.7,6.2',
  '-': '0,4.2 3,4.2',
  '−': '0,5 6.4,5',
  '–': '0,4.2 5,4.2',
  '+': '0,5 6.4,5;3.2,8.2 3.2,1.8',
  '±': '0,6 6.4,6;3.2,9.2 3.2,2.8;0,0.6 6.4,0.6',
  '=': '0,6.4 6.4,6.4;0,3.6 6.4,3.6',
  '×': '0.4,7.6 5.6,2.4;5.6,7.6 0.4,2.4',
  '/': '0,-1 4,10.5',
  '(': 'o4,4.5,4,7.5,130,230',
  ')': 'o-1,4.5,4,7.5,50,-50',
  '°': 'o1.6,8.4,1.6,1.6,0,360',
  '′': '1.4,10 0.4,7',
  '″': '1.4,10 0.4,7;3.6,10 2.6,7',
  '%': 'o2,7.8,2,2.2,0,360;o7,2.2,2,2.2,0,360;7.4,10 1.6,0',
  µ: '0,7 0,-3;0,3 o3,3,3,3,180,360;6,7 6,0',
  θ: 'o3,5,3,5,0,360;0,5 6,5',
  λ: '0,10 1.4,10 6,0;3.4,5.6 0,0',
  '⁰': 'o1.5,8,1.5,2.6,0,360',
  '¹': '0.4,9.4 1.7,10.6 1.7,5.4',
  '²': 'o1.5,9.1,1.5,1.5,160,-38 0,5.4 3,5.4',
  '³': 'o1.4,9.3,1.3,1.3,150,-90 o1.4,6.8,1.6,1.4,90,-150',
  '⁴': '2.3,5.4 2.3,10.6 0,7 3.2,7',
  '⁻': '0,8 3.2,8',
};
