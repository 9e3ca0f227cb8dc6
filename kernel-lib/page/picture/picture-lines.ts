import type { PicturePoint } from '../../fitting/picture/picture-scale';
import {
  nothingTyped,
  type PictureBox,
  type PictureSetting,
  paperPlaces,
  type ScaleSetting,
  type Typed,
} from './picture-setting';

const first = '// The photograph, as it is set on the picture:';
const last = '// That was the photograph.';

/** Numbers that were marked, in the order in which they are written: places in m, and orders. */
export interface MarkedNumbers {
  readonly places: readonly number[];
  readonly orders: readonly number[];
}

/** What is written besides the profile. */
export interface LinesWanted {
  /** A fit of the slits, with its figure. */
  readonly fit: boolean;
}

/**
 * The lines of code that do what is set on a picture, between two remarks by which they are found again.
 *
 * @param marked what `PictureOutcome` has; without them, or with fewer than three, no line through orders
 */
export function pictureLines(
  setting: PictureSetting,
  { places, orders }: MarkedNumbers,
  { fit }: LinesWanted,
): string {
  const { file, band, masks, scale, kind, wavelength, distance } = setting;
  const bench = wavelength.value > 0 && distance.value > 0;
  const byHand = bench && places.length >= 3;
  const code = [
    `const own = pictureProfile('${file}', {`,
    `  ${scaleCode(scale)},`,
    `  band: { from: ${point(band.from)}, to: ${point(band.to)}, width: ${band.width} },`,
    ...(masks.length > 0 ? [`  masks: [${masks.map(box).join(', ')}],`] : []),
    '});',
    "show(linePlot({ x: own.x, y: own.y, as: 'line' }, {",
    "  x: { quantity: 'place on the screen x', unit: 'mm' }, y: { quantity: 'light E', unit: '1' },",
    '}));',
    ...(byHand
      ? [
          `const ${kind} = lengthFromOrders({`,
          `  orders: [${orders.join(', ')}],`,
          `  places: [${places.map((place) => `mm(${rounded(place * 1e3, 3)})`).join(', ')}],`,
          `  wavelength: ${typed(wavelength, 'nm', 1e-9)}, focalLength: ${typed(distance, '', 1)}, uScale: own.uScale,`,
          '});',
          `console.log('${kind === 'minima' ? 'width' : 'spacing'} by hand:', ${kind}.length.in('um'));`,
        ]
      : []),
    ...(bench && fit
      ? [
          `const ownFit = fitSlits(own, { wavelength: nm(${rounded(wavelength.value * 1e9, 6)}), focalLength: ${rounded(distance.value, 6)} });`,
          'show(ownFit);',
        ]
      : []),
  ];
  const names = [
    ...['fitSlits', 'lengthFromOrders', 'linePlot', 'measured', 'mm', 'nm', 'pictureProfile'],
    ...['planeScale', 'rulerScale', 'show', 'um'],
  ].filter((name) => code.some((line) => new RegExp(`\\b${name}\\(`).test(line)));
  const imported = `import { ${names.join(', ')} } from 'multislit';`;
  return [first, imported, ...code, last].join('\n');
}

/** The text of a cell with these lines in the place of the earlier ones, or behind all that stands there. */
export function withPictureLines(source: string, lines: string): string {
  const place = placeIn(source);
  if (place) return source.slice(0, place.from) + lines + source.slice(place.to);
  const before = source.trimEnd();
  return before === '' ? lines : `${before}\n\n${lines}`;
}

/** Where the lines stand. */
function placeIn(source: string): { from: number; to: number } | undefined {
  const from = source.indexOf(first);
  const to = source.indexOf(last, from);
  return from < 0 || to < 0 ? undefined : { from, to: to + last.length };
}

/**
 * What lines of code in a cell set, so that the picture shows it again, also where numbers were changed by hand.
 *
 * @returns undefined where there are none, or none that could be read
 */
export function settingIn(source: string): PictureSetting | undefined {
  const place = placeIn(source);
  if (!place) return undefined;
  const code = source.slice(place.from, place.to);
  const file = /pictureProfile\(\s*'([^'\n]+)'/.exec(code)?.[1];
  const band = /band:\s*(\{.*\}),?\s*$/m.exec(code)?.[1];
  const [fromX, fromY, toX, toY, width] = numbersIn(band ?? '');
  const scale = scaleIn(code);
  if (!file || !scale || !(width > 0)) return undefined;
  const from = { x: fromX, y: fromY };
  const to = { x: toX, y: toY };
  const corners = numbersIn(/masks:\s*\[(.*)\],?\s*$/m.exec(code)?.[1] ?? '');
  const masks: PictureBox[] = [];
  for (let k = 0; k + 3 < corners.length; k += 4) {
    const [x, y, right, bottom] = corners.slice(k, k + 4);
    masks.push({ from: { x, y }, to: { x: right, y: bottom } });
  }
  const kind = /const minima = lengthFromOrders/.test(code) ? 'minima' : 'maxima';
  const bench = /wavelength:\s*(.*?), focalLength:\s*(.*?)(?:, uScale.*| \}\);)$/m.exec(code);
  return {
    ...{ file, band: { from, to, width }, masks, scale, kind, marked: [] },
    wavelength: typedIn(bench?.[1], 1e-9),
    distance: typedIn(bench?.[2], 1),
  };
}

/** Places (m) and orders that the lines in a cell have. */
export function markedIn(source: string): MarkedNumbers {
  const list = (name: string) =>
    numbersIn(new RegExp(`^\\s*${name}:\\s*\\[(.*)\\],?\\s*$`, 'm').exec(source)?.[1] ?? '');
  const [orders, places] = [list('orders'), list('places').map((place) => place / 1e3)];
  return orders.length === places.length ? { orders, places } : { orders: [], places: [] };
}

const point = ({ x, y }: PicturePoint): string => `{ x: ${x}, y: ${y} }`;
const box = ({ from, to }: PictureBox): string => `{ from: ${point(from)}, to: ${point(to)} }`;

function scaleCode(scale: ScaleSetting): string {
  const length = (value: number) => `mm(${rounded(value * 1e3, 6)})`;
  if (scale.by === 'pixel') return `pixel: um(${rounded(scale.length * 1e6, 6)})`;
  const { marks } = scale;
  if (scale.by === 'ruler')
    return `scale: rulerScale(${point(marks[0])}, ${point(marks[1])}, ${length(scale.length)})`;
  const places = paperPlaces(scale.length, scale.height);
  const seen = marks.map((pixel, k) => {
    const [x, y] = [places[k].x, places[k].y].map((at) => (at === 0 ? '0' : length(at)));
    return `    { pixel: ${point(pixel)}, place: { x: ${x}, y: ${y} } },`;
  });
  return ['scale: planeScale([', ...seen, '  ])'].join('\n');
}

function scaleIn(code: string): ScaleSetting | undefined {
  const pixel = /^\s*pixel:\s*um\((.*)\),?\s*$/m.exec(code);
  if (pixel) return { by: 'pixel', length: Number(pixel[1]) / 1e6 };
  const ruler = /scale: rulerScale\((.*)\),?\s*$/m.exec(code);
  if (ruler) {
    const [ax, ay, bx, by, length] = numbersIn(ruler[1]);
    const marks = [
      { x: ax, y: ay },
      { x: bx, y: by },
    ];
    return { by: 'ruler', marks, length: length / 1e3 };
  }
  const paper = /scale: planeScale\(\[\n([\s\S]*?)\n\s*\]\)/.exec(code);
  if (!paper) return undefined;
  const rows = paper[1].split('\n').map(numbersIn);
  if (rows.length !== 4 || rows.some((row) => row.length !== 4)) return undefined;
  const marks = rows.map(([x, y]) => ({ x, y }));
  return { by: 'paper', marks, length: rows[2][2] / 1e3, height: rows[2][3] / 1e3 };
}

/** A number with as many digits as it needs, up to so many behind the point. */
const rounded = (value: number, digits: number): string => String(Number(value.toFixed(digits)));

function typed({ value, u }: Typed, unit: string, size: number): string {
  const inUnit = (one: number) => {
    const number = rounded(one / size, 6);
    return unit === '' ? number : `${unit}(${number})`;
  };
  return u > 0 ? `measured(${inUnit(value)}, ${inUnit(u)})` : inUnit(value);
}

function typedIn(code: string | undefined, size: number): Typed {
  const [value, u = 0] = numbersIn(code ?? '');
  return value === undefined ? nothingTyped : { value: value * size, u: u * size };
}

const numbersIn = (text: string): number[] =>
  [...text.matchAll(/(?<![\w.])-?\d+(?:\.\d+)?(?:e[+-]?\d+)?/g)].map(([number]) => Number(number));
