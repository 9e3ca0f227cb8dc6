import type { FilmStrip } from '../camera/film';
import { colourName, D65_CHROMATICITY } from '../light/dominant-wavelength';

import { formatNumber } from '../quantity/format-number';
import type { LineMark, Mark, TextMark } from './chart';
import { type Figure, figureOf } from './figure';
import { diagram, diagramPicture, locus } from './locus';
import { look, type Style, styleOf } from './look';
import { regionLabels } from './region-labels';
import { type StripAlong, stripRow } from './strip-row';
import { roundStep } from './svg/ticks';
import { thin } from './thin';

export interface ChromaticityPathOptions extends StripAlong {
  readonly title?: string;
  /** Parts of the strip darker than this share of the centre are left out. Default 0.001. */
  readonly darkest?: number;
}

const ink = (width: number): Style => ({ ...styleOf(3), dash: 'solid', width });

/**
 * The colours of a film strip as a path in the CIE 1931 x, y diagram, from the centre to the right end.
 *
 * @param strip what `filmStrip` returns
 * @param options `along` names the places marked on the path: film (mm), sine, degrees, milliradians
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
  const path: LineMark = {
    type: 'line',
    ...thin(x, y),
    name: 'colours of the strip',
    style: styleOf(0),
  };
  const spots = spotsOn(places, x, y);
  const unit = row.axis.unit;
  const marks: Mark[] = [
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
    ...spots.map(({ place, x, y }): TextMark => {
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
        marks,
      },
    ],
  });
}

/** The spectral locus, the line of purples, and wavelengths written along it. */
function boundary(): Mark[] {
  const { x, y, wavelengths } = locus();
  const last = x.length - 1;
  const closed: Mark[] = [
    { type: 'line', x: [...x], y: [...y], style: ink(1.4) },
    { type: 'line', x: [x[last], x[0]], y: [y[last], y[0]], style: { ...ink(1.2), dash: 'dash' } },
  ];
  const written = [450, 480, 490, 500, 510, 520, 540, 560, 580, 600, 620, 650];
  const labels = written.map((nm): TextMark => {
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
