import { decode } from 'fast-png';

/** Picture units and levels of grey that nobody sees: rounding of another engine must not fail a picture. */
const FARTHEST = 0.25;
const MEAN_LEVELS = 0.5;
const MOST_LEVELS = 8;

interface Drawn {
  readonly tag: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly text: string;
}

/** The elements of an SVG in their order: all that a picture of this library is made of. */
export function elementsOf(svg: string): Drawn[] {
  return [...svg.matchAll(/<(\w+)((?: [\w:-]+="[^"]*")*)\/?>([^<]*)/g)].map(
    ([, tag, list, text]) => ({
      tag,
      attributes: Object.fromEntries(
        [...list.matchAll(/ ([\w:-]+)="([^"]*)"/g)].map(([, name, value]) => [name, value]),
      ),
      text,
    }),
  );
}

/** In what two pixel pictures differ so that a person could see it; undefined where in nothing. */
export function pixelsDiffer(kept: Uint8Array, drawn: Uint8Array): string | undefined {
  const [a, b] = [decode(kept), decode(drawn)];
  const [sizeA, sizeB] = [a, b].map(
    ({ width, height, channels }) => `${width} × ${height} × ${channels}`,
  );
  if (sizeA !== sizeB) return `${sizeB} pixels in the place of ${sizeA}`;
  let [sum, most] = [0, 0];
  a.data.forEach((level, i) => {
    const off = Math.abs(level - b.data[i]);
    sum += off;
    most = Math.max(most, off);
  });
  const mean = sum / a.data.length;
  if (mean <= MEAN_LEVELS && most <= MOST_LEVELS) return undefined;
  return `levels off by ${mean.toFixed(2)} in the mean, ${most} at most`;
}

const PNG = 'data:image/png;base64,';
const number = /-?\d+(?:\.\d+)?(?:e-?\d+)?/g;

/** Numbers apart by at most what nobody sees, all else letter by letter; pictures inside by their pixels. */
function valuesDiffer(kept: string, drawn: string): string | undefined {
  if (kept === drawn) return undefined;
  if (kept.startsWith(PNG) && drawn.startsWith(PNG)) {
    const [a, b] = [kept, drawn].map((url) => Buffer.from(url.slice(PNG.length), 'base64'));
    return pixelsDiffer(a, b);
  }
  const [a, b] = [kept, drawn].map((text) => text.match(number)?.map(Number) ?? []);
  const same = kept.replace(number, '#') === drawn.replace(number, '#');
  if (same && a.every((value, i) => Math.abs(value - b[i]) <= FARTHEST)) return undefined;
  return `"${drawn.slice(0, 80)}" in the place of "${kept.slice(0, 80)}"`;
}

/** In what two SVG pictures differ so that a person could see it: the first few differences. */
export function svgDiffers(kept: string, drawn: string): string[] {
  const [a, b] = [elementsOf(kept), elementsOf(drawn)];
  const faults: string[] = [];
  if (a.length !== b.length) faults.push(`${b.length} elements in the place of ${a.length}`);
  for (let i = 0; i < Math.min(a.length, b.length) && faults.length < 5; i++) {
    const where = `element ${i}, ${a[i].tag}`;
    if (a[i].tag !== b[i].tag) faults.push(`${where}: ${b[i].tag}`);
    const text = a[i].text === b[i].text ? undefined : `"${b[i].text}" for "${a[i].text}"`;
    if (text) faults.push(`${where}: ${text}`);
    for (const name of new Set([
      ...Object.keys(a[i].attributes),
      ...Object.keys(b[i].attributes),
    ])) {
      const fault = valuesDiffer(a[i].attributes[name] ?? '', b[i].attributes[name] ?? '');
      if (fault) faults.push(`${where}, ${name}: ${fault}`);
    }
  }
  return faults;
}
