import { glyphs } from './glyphs';

type Point = readonly [number, number];

/** A text as pen strokes, base line 0 and cap height `size`, with its width. */
export interface Lettering {
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
