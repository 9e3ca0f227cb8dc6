import type { FilmStrip } from '../camera/film';
import { requireWhole } from '../numerics/require';
import { formatNumber } from '../quantity/format-number';
import { axisTitle } from './chart';
import { type Figure, figureOf } from './figure';
import { encodePng } from './png/encode-png';
import { type Colour, layRow, lettering, raster, stroke, write } from './png/raster';
import { counted, listed, withCautions } from './shown';
import { burntStretches, type StripAlong, type StripRow, stripLayers, stripRow } from './strip-row';
import { scaleOf } from './svg/axes';

/** One strip of a stack and what stands beside it: `1 slit`, `2 slits`. */
export interface LabelledStrip {
  readonly label: string;
  readonly strip: FilmStrip;
}

interface StackedStripsOptions extends StripAlong {
  readonly title?: string;
  /** Height of each strip in the PNG, pixels. Default 46. */
  readonly height?: number;
}

/**
 * Film strips of several apertures under each other on one axis; a line above a strip shows where it is burnt out.
 *
 * @param strips the strips from top to bottom, each with its label
 * @param options `along` film (mm), sine, degrees or milliradians; `height` of each strip in the PNG, pixels
 * @returns a Figure with `png`, labels and axis included; its sentence ends with the caution of a light that has one
 * @throws RangeError when there are none, or their positions differ
 * @example stackedStrips([{ label: '1 slit', strip: filmStrip(slits(1, { width: 40e-6 }), illuminant('A')) }]).kind // 'stacked-strips'
 */
export function stackedStrips(
  strips: readonly LabelledStrip[],
  options: StackedStripsOptions = {},
): Figure {
  const { height = 46, title } = options;
  if (!Array.isArray(strips) || strips.length === 0) {
    throw new RangeError(
      'stackedStrips() was given no strips. Give at least one { label, strip }.',
    );
  }
  requireWhole('The height of a strip in pixels', height, 8, 400);
  const rows = strips.map(({ strip }) => stripRow(strip, options));
  checkSameAxis(rows, strips);
  const count = strips.length;
  const labels = strips.map(({ label }) => label);
  const chart = {
    kind: 'stacked-strips',
    alt: withCautions(
      sentence(strips, rows[0]),
      strips.map(({ strip }) => strip),
    ),
    title,
    x: { ...rows[0].axis, range: rows[0].ends },
    panels: [
      {
        height: 40 * count,
        film: true,
        y: {
          quantity: 'aperture',
          unit: 'label',
          range: [0, count] as const,
          ticks: labels.map((label, n) => ({ at: count - n - 0.5, label })),
        },
        layers: strips.flatMap(({ strip }, n) =>
          stripLayers(strip, rows[n], [count - n - 0.92, count - n - 0.08]),
        ),
      },
    ],
  };
  return figureOf(chart, () => stackedPng(rows, labels, height));
}

function checkSameAxis(rows: readonly StripRow[], strips: readonly LabelledStrip[]): void {
  const [low, high] = rows[0].ends;
  const near = (a: number, b: number) => Math.abs(a - b) <= (high - low) * 1e-6;
  rows.forEach((row, n) => {
    if (
      row.places.length === rows[0].places.length &&
      near(row.ends[0], low) &&
      near(row.ends[1], high)
    )
      return;
    throw new RangeError(
      `The strip "${strips[n].label}" runs over other positions than "${strips[0].label}". Make all strips with the same span, points and focal length.`,
    );
  });
}

/** Names every strip and tells the whole of the first and the last: between them only the label changes. */
function sentence(strips: readonly LabelledStrip[], { ends, axis }: StripRow): string {
  if (strips.length === 1) return strips[0].strip.alt;
  const told = [...new Set([strips[0], strips[strips.length - 1]])].map(
    ({ label, strip }) => `${label}: ${strip.alt.replace(/\.\s*$/, '')}`,
  );
  const names = listed(strips.map(({ label }) => label));
  const span = `${formatNumber(ends[0], 3)} to ${formatNumber(ends[1], 3)} ${axis.unit}`;
  return `${counted(strips.length, 'film strip')} from top to bottom, ${names}, over ${span}; ${told.join('; ')}.`;
}

const film: Colour = [11, 11, 12];

const light: Colour = [216, 211, 197];

const burnt: Colour = [217, 130, 43];

const gap = 5;

/** Strips under each other on black film, each with its label at the left, a line above what is burnt out, and one axis below: a PNG without a browser. */
function stackedPng(
  rows: readonly StripRow[],
  labels: readonly string[],
  height: number,
): Uint8Array {
  const count = rows[0].places.length;
  const size = Math.round(Math.min(40, Math.max(9, count / 75)));
  const left = Math.ceil(Math.max(...labels.map((l) => lettering(l, size).width)) + size * 2);
  const bottom = gap * 2 + rows.length * (height + gap);
  const picture = raster(left + count + size, bottom + Math.ceil(size * 4.4), film);
  rows.forEach((row, n) => {
    const top = gap * 2 + n * (height + gap);
    layRow(picture, row.pixels, left, top, height);
    for (const [from, to] of burntStretches(row)) {
      const line = Array.from({ length: 3 * (to - from) }, (_, i) => burnt[i % 3]);
      layRow(picture, line, left + from, top - 3, 2);
    }
    write(picture, labels[n], size, top + (height + size) / 2, {
      size,
      colour: light,
      anchor: 'start',
    });
  });
  const scale = scaleOf(rows[0].axis, rows[0].ends, left, left + count, size * 6);
  const style = { size: size * 0.85, colour: light, anchor: 'middle' as const };
  for (const { at, label } of scale.ticks) {
    const x = Math.floor(scale.at(at)) + 0.5;
    stroke(
      picture,
      [
        [
          [x, bottom],
          [x, bottom + size * 0.4],
        ],
      ],
      light,
      1.2,
    );
    write(picture, label, x, bottom + size * 1.7, style);
  }
  write(picture, axisTitle(rows[0].axis), left + count / 2, bottom + size * 3.5, style);
  return encodePng({ ...picture, channels: 3 });
}
