import type { FilmStrip } from '../camera/film';
import { colourName, D65_CHROMATICITY, spectralLocus } from '../light/dominant-wavelength';
import type { Chromaticity } from '../light/light';
import { srgb } from '../light/srgb';
import { formatNumber } from '../quantity/format-number';
import {
  type Layer,
  type LineLayer,
  look,
  type Style,
  styleOf,
  type TextLayer,
  thin,
} from './chart';
import { type Figure, figureOf } from './figure';
import { encodePng, pngAddress } from './png/encode-png';
import { type StripAlong, stripRow } from './strip-row';
import { roundStep } from './svg/axes';

interface ChromaticityPathOptions extends StripAlong {
  readonly title?: string;
  /** Parts of the strip darker than this share of the centre are left out. Default 0.001. */
  readonly darkest?: number;
}

const ink = (width: number): Style => ({ ...styleOf(3), dash: 'solid', width });

/**
 * The colours of a film strip as a path in the CIE 1931 x, y diagram, from the centre to the right end.
 *
 * @param strip what `filmStrip` returns
 * @param options `along` names the places shown on the path: film (mm), sine, degrees, milliradians
 * @returns a Figure
 * @throws TypeError when `strip` is not a film strip
 * @see ISO/CIE 11664-3 for x, y
 * @example chromaticityPath(filmStrip(slits(1, { width: 40e-6 }), illuminant('A'))).kind // 'chromaticity'
 */
export function chromaticityPath(strip: FilmStrip, options: ChromaticityPathOptions = {}): Figure {
  const { darkest = 1e-3, title } = options;
  const row = stripRow(strip, options);
  const x: number[] = [];
  const y: number[] = [];
  const places: number[] = [];
  row.places.forEach((place, i) => {
    const [X, Y, Z] = strip.xyz.subarray(3 * i, 3 * i + 3);
    // From the centre outwards: the other side retraces the path where the aperture is symmetric.
    if (place < 0) return;
    const bright = Y >= darkest && X + Y + Z > 0;
    x.push(bright ? X / (X + Y + Z) : Number.NaN);
    y.push(bright ? Y / (X + Y + Z) : Number.NaN);
    places.push(place);
  });
  const path: LineLayer = {
    type: 'line',
    ...thin(x, y),
    name: 'colours of the strip',
    style: styleOf(0),
  };
  const spots = spotsOn(places, x, y);
  const unit = row.axis.unit;
  const layers: Layer[] = [
    { type: 'image', source: diagramPicture(), x: diagram.x, y: diagram.y },
    ...boundary(),
    ...regionLabels(),
    path,
    {
      type: 'points',
      ...{ x: spots.map((s) => s.x), y: spots.map((s) => s.y) },
      name: `places on the strip (${unit})`,
      style: styleOf(0),
    },
    ...spots.map(({ place, x, y }): TextLayer => {
      const text = formatNumber(place, 3);
      return { type: 'text', x: x + 0.014, y: y + 0.016, text, anchor: 'start', size: 11.5 };
    }),
    {
      type: 'points',
      x: [D65_CHROMATICITY[0]],
      y: [D65_CHROMATICITY[1]],
      name: 'white, D65',
      style: { ...styleOf(4), colour: look.ink },
    },
  ];
  const told = spots.map(
    ({ place, x, y }) =>
      `${formatNumber(place, 3)} ${unit}: ${colourName([x, y])} (${formatNumber(x, 3)}, ${formatNumber(y, 3)})`,
  );
  return figureOf({
    kind: 'chromaticity',
    alt: `Path of the strip's colours in the CIE 1931 x, y diagram; white is 0.313, 0.329; from the centre outwards the path passes ${told.join('; ')}.`,
    title,
    equalScales: true,
    x: { quantity: 'chromaticity x', unit: 'ratio', range: [-0.05, 0.8] },
    panels: [
      {
        height: 440,
        y: { quantity: 'chromaticity y', unit: 'ratio', range: [-0.03, 0.89] },
        layers,
      },
    ],
  });
}

/** The spectral locus, the line of purples, and wavelengths written along it. */
function boundary(): Layer[] {
  const { x, y, wavelengths } = locus();
  const last = x.length - 1;
  const closed: Layer[] = [
    { type: 'line', x: [...x], y: [...y], style: ink(1.4) },
    { type: 'line', x: [x[last], x[0]], y: [y[last], y[0]], style: { ...ink(1.2), dash: 'dash' } },
  ];
  const written = [450, 480, 490, 500, 510, 520, 540, 560, 580, 600, 620, 650];
  const labels = written.map((nm): TextLayer => {
    const i = wavelengths.indexOf(nm);
    const [a, b] = [Math.max(0, i - 2), Math.min(last, i + 2)];
    // Outwards is to the left of the way along the locus, which runs clockwise.
    const [dx, dy] = [x[b] - x[a], y[b] - y[a]];
    const size = Math.hypot(dx, dy);
    const [ox, oy] = [-dy / size, dx / size];
    const anchor = ox < -0.35 ? 'end' : ox > 0.35 ? 'start' : 'middle';
    const text = nm === 520 ? '520 nm' : String(nm);
    return {
      type: 'text',
      x: x[i] + ox * 0.014,
      y: y[i] + oy * 0.02,
      text,
      anchor,
      colour: look.soft,
      size: 11,
    };
  });
  return [...closed, ...labels];
}

interface Spot {
  readonly place: number;
  readonly x: number;
  readonly y: number;
}

/** About six round places along the path, straight between its points; dark ones are left out. */
function spotsOn(places: readonly number[], x: readonly number[], y: readonly number[]): Spot[] {
  const last = places[places.length - 1];
  const step = roundStep(last / 6);
  const spots: Spot[] = [];
  for (let k = 0; k * step <= last; k++) {
    const place = k * step;
    const right = Math.max(
      1,
      places.findIndex((p) => p >= place),
    );
    const t = (place - places[right - 1]) / (places[right] - places[right - 1]);
    const between = (v: readonly number[]) => v[right - 1] + t * (v[right] - v[right - 1]);
    const spot = { place, x: between(x), y: between(y) };
    if (Number.isFinite(spot.x) && Number.isFinite(spot.y)) spots.push(spot);
  }
  return spots;
}

/** The spectral locus as columns x and y; wavelengths in nm. */
function locus() {
  const points = spectralLocus();
  return {
    x: points.map(({ at }) => at[0]),
    y: points.map(({ at }) => at[1]),
    wavelengths: points.map(({ wavelength }) => Math.round(wavelength * 1e9)),
  };
}

/** True inside the locus closed by the line of purples. */
function insideLocus([px, py]: Chromaticity): boolean {
  const points = spectralLocus();
  let inside = false;
  let [x0, y0] = points[points.length - 1].at;
  for (const {
    at: [x1, y1],
  } of points) {
    const crosses = y0 > py !== y1 > py;
    if (crosses && px < ((x1 - x0) * (py - y0)) / (y1 - y0) + x0) inside = !inside;
    [x0, y0] = [x1, y1];
  }
  return inside;
}

/** The part of the x, y plane that the picture covers. */
const diagram = { x: [0, 0.76], y: [0, 0.86] } as const;
const columns = 114;
const rows = 129;
let picture: string | undefined;

/** The colours of the diagram, paled so that ink stays readable on them; transparent outside the locus. */
function diagramPicture(): string {
  if (picture) return picture;
  const data = new Uint8Array(columns * rows * 4);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const x = ((c + 0.5) / columns) * diagram.x[1];
      const y = (1 - (r + 0.5) / rows) * diagram.y[1];
      if (!insideLocus([x, y])) continue;
      const colour = srgb([x / y, 1, (1 - x - y) / y]);
      // Steps of 4 are not seen, and pack three times smaller.
      const pale = colour.map((v) => Math.min(255, 4 * Math.round((v * 0.42 + 0.58) * 63.75)));
      data.set([...pale, 255], (r * columns + c) * 4);
    }
  }
  picture = pngAddress(encodePng({ width: columns, height: rows, data, channels: 4 }));
  return picture;
}

let known: TextLayer[] | undefined;
const step = 0.01;

/** The learner's colour names, each in the middle of the region of the x, y diagram that it names. */
function regionLabels(): TextLayer[] {
  if (known) return known;
  const regions = new Map<string, { sum: number; x: number; y: number }>();
  for (let x = step; x < diagram.x[1]; x += step) {
    for (let y = step; y < diagram.y[1]; y += step) {
      if (!insideLocus([x, y])) continue;
      const name = colourName([x, y]);
      // Pure colours weigh more: the middle, where most paths run, stays free.
      const weight = (x - D65_CHROMATICITY[0]) ** 2 + (y - D65_CHROMATICITY[1]) ** 2;
      const region = regions.get(name) ?? { sum: 0, x: 0, y: 0 };
      const moved = { x: region.x + weight * x, y: region.y + weight * y };
      regions.set(name, { sum: region.sum + weight, ...moved });
    }
  }
  known = [...regions]
    .filter(([name]) => !name.startsWith('pale ') && name !== 'white')
    .map(([text, { sum, x, y }]) => ({
      type: 'text',
      ...{ x: x / sum, y: y / sum, text, colour: look.soft, size: 11 },
    }));
  return known;
}
