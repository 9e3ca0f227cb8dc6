import type { FilmStrip } from '../camera/film';
import { requireWhole } from '../numerics/require';
import { formatNumber } from '../quantity/format-number';
import { type Figure, figureOf } from './figure';
import { stackedPng } from './png/stacked-png';
import { counted, listed, withCautions } from './shown';
import { stripMarks } from './strip-marks';
import { type StripAlong, type StripRow, stripRow } from './strip-row';

/** One strip of a stack and what stands beside it: `1 slit`, `2 slits`. */
export interface LabelledStrip {
  readonly label: string;
  readonly strip: FilmStrip;
}

export interface StackedStripsOptions extends StripAlong {
  readonly title?: string;
  /** Height of each strip in the PNG, pixels. Default 46. */
  readonly height?: number;
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

/**
 * Film strips of several apertures under each other on one axis; a line above a strip marks where it is burnt out.
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
        marks: strips.flatMap(({ strip }, n) =>
          stripMarks(strip, rows[n], [count - n - 0.92, count - n - 0.08]),
        ),
      },
    ],
  };
  return figureOf(chart, () => stackedPng(rows, labels, height));
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
