import { type Chart, look, styleOf } from '../../figures/chart';
import { counted } from '../../figures/shown';
import { toSvg } from '../../figures/svg/to-svg';
import { type AnyKey, openForms } from '../../questions/sheet';
import type { SheetOfClass, StudentOfClass } from '../class-data';
import { answersOverExpected } from '../class-whole';
import type { MarkRecord } from '../record';

/** How far the answers to a question with one number lie from what was expected. */
export interface Spread {
  readonly question: string;
  /** Answer over expected value, one for each student who handed a number in. */
  readonly ratios: readonly number[];
}

/** Answers over expected values, of every question that asks for one number. */
export function spreads(key: AnyKey, records: readonly MarkRecord[]): Spread[] {
  const all = records.map((record) => answersOverExpected(key, record));
  return openForms(key).flatMap(({ kind, id }) =>
    kind === 'number'
      ? [{ question: id, ratios: all.flatMap((ratios) => ratios.get(id) ?? []) }]
      : [],
  );
}

/** A drawn chart with the sentence that tells its numbers. */
export interface Drawn {
  readonly svg: string;
  readonly alt: string;
}

const drawn = (chart: Chart): Drawn => ({ svg: toSvg(chart), alt: chart.alt });

/** How many students have how many marks of a sheet. */
export function marksChart(sheet: SheetOfClass, students: readonly StudentOfClass[]): Drawn {
  const marks = students.flatMap(({ sheets }) =>
    sheets.filter((one) => one.sheet === sheet.sheet).map((one) => Math.round(one.counted)),
  );
  const counts = Array.from(
    { length: sheet.outOf + 1 },
    (_, n) => marks.filter((m) => m === n).length,
  );
  const mean = marks.reduce((a, b) => a + b, 0) / Math.max(1, marks.length);
  return drawn({
    kind: 'plot',
    alt: `${counted(marks.length, 'return')}: ${Math.min(...marks)} to ${Math.max(...marks)} of ${sheet.outOf}, mean ${mean.toFixed(1)}.`,
    x: { quantity: 'marks', unit: `of ${sheet.outOf}`, range: [-0.5, sheet.outOf + 0.5] },
    panels: [
      {
        height: 130,
        y: { quantity: 'students', unit: 'number', range: [0, Math.max(1, ...counts) * 1.1] },
        layers: [
          {
            type: 'strokes',
            strokes: counts.flatMap((n, x) => (n > 0 ? [[x, 0, x, n] as const] : [])),
            style: { ...styleOf(0), width: 9 },
          },
        ],
      },
    ],
  });
}

const range: readonly [number, number] = [0.01, 100];

/** Answers over expected values, a dot for each student, a row for each question. */
export function spreadChart(spreads: readonly Spread[]): Drawn | undefined {
  const rows = spreads.filter(({ ratios }) => ratios.length > 0);
  if (rows.length === 0) return undefined;
  const inside = rows.map(({ ratios }) => ratios.filter((r) => r >= range[0] && r <= range[1]));
  const outside = rows.reduce((sum, { ratios }, i) => sum + ratios.length - inside[i].length, 0);
  // Dots of equal answers lie beside each other, not on top.
  const lift = (i: number, n: number) => rows.length - i + 0.56 * (((n * 0.618) % 1) - 0.5);
  return drawn({
    kind: 'plot',
    alt: `Answers over expected values: ${rows.map(({ question }, i) => `${question}, ${inside[i].filter((r) => Math.abs(r - 1) < 0.02).length} of ${inside[i].length} within 2 %`).join('; ')}.${outside > 0 ? ` ${outside} lie outside or are not positive.` : ''}`,
    x: { quantity: 'answer over expected value', unit: 'ratio', range, log: true },
    panels: [
      {
        height: 26 * rows.length + 20,
        y: {
          quantity: 'question',
          unit: 'number',
          range: [0.4, rows.length + 0.6],
          ticks: rows.map(({ question }, i) => ({ at: rows.length - i, label: question })),
        },
        layers: [
          {
            type: 'line',
            x: [1, 1],
            y: [0.4, rows.length + 0.6],
            style: { ...styleOf(0), colour: look.soft, width: 0.8 },
          },
          ...rows.map((_, i) => ({
            type: 'points' as const,
            small: inside[i].length > 60,
            x: inside[i],
            y: inside[i].map((_, n) => lift(i, n)),
            style: styleOf(0),
          })),
        ],
      },
    ],
  });
}

const day = 24 * 3600 * 1000;
const shortestSpan = day / 24;

/** How many returns had come in by when. */
export function timesChart(
  students: readonly StudentOfClass[],
  deadline?: number,
): Drawn | undefined {
  const times = students
    .flatMap(({ sheets }) =>
      sheets.flatMap(({ time }) => (time === null ? [] : [Date.parse(time)])),
    )
    .sort((a, b) => a - b);
  const last = times.at(-1);
  // What was downloaded or unpacked at one go says nothing of when students worked.
  if (last === undefined || times.length < 3 || last - times[0] < shortestSpan) return undefined;
  const zero = deadline ?? last;
  const x = times.map((time) => (time - zero) / day);
  const late =
    deadline === undefined
      ? ''
      : ` ${times.filter((time) => time > deadline).length} came after the deadline.`;
  return drawn({
    kind: 'plot',
    alt: `${times.length} returns over ${((last - times[0]) / day).toFixed(1)} days.${late}`,
    x: {
      quantity: deadline === undefined ? 'time before the last return' : 'time after the deadline',
      unit: 'days',
    },
    panels: [
      {
        height: 130,
        y: { quantity: 'returns', unit: 'number', range: [0, 1.05 * times.length] },
        layers: [
          { type: 'line', x, y: x.map((_, n) => n + 1), style: styleOf(0) },
          ...(deadline === undefined
            ? []
            : [
                {
                  type: 'line' as const,
                  x: [0, 0],
                  y: [0, 1.05 * times.length],
                  style: styleOf(1),
                },
              ]),
        ],
      },
    ],
  });
}
