import { escapeText } from '../../display/bundle';
import { type Axis, axisTitle } from '../chart';
import { look } from '../look';
import { element, round, textElement, textWidth } from './element';
import type { Scale } from './scale';

export const tickSize = 12.5;
export const titleSize = 13.5;

/** Splits a title over lines no longer than `room`, between words. */
export function wrapped(text: string, room: number, size: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const longer = lines.length ? `${lines[lines.length - 1]} ${word}` : word;
    if (lines.length && textWidth(longer, size) <= room) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

/** Tick marks, numbers and title below a panel. */
export function xAxis(axis: Axis, scale: Scale, left: number, right: number, y: number): string {
  const marks = scale.ticks.map(({ at }) => `M${round(scale.at(at))} ${round(y)}v5`).join('');
  let free = Number.NEGATIVE_INFINITY;
  const numbers = scale.ticks.map(({ at, label }) => {
    const half = textWidth(label, tickSize) / 2;
    const x = scale.at(at);
    if (x - half < free) return '';
    free = x + half + 4;
    return textElement(x, y + 18, label, { 'text-anchor': 'middle', 'font-size': tickSize });
  });
  const title = textElement((left + right) / 2, y + 38, axisTitle(axis), {
    'text-anchor': 'middle',
    'font-size': titleSize,
  });
  const path = element('path', { d: marks, stroke: look.ink });
  return path + element('g', { fill: look.ink }, [...numbers, title]);
}

/** Tick marks, numbers and the upright title left of a panel. */
export function yAxis(axis: Axis, scale: Scale, x: number, top: number, bottom: number): string {
  const own = axis.ticks !== undefined;
  const marks = own
    ? ''
    : scale.ticks.map(({ at }) => `M${round(x)} ${round(scale.at(at))}h-5`).join('');
  const numbers = scale.ticks.map(({ at, label }) =>
    textElement(x - 8, scale.at(at) + 4.4, label, { 'text-anchor': 'end', 'font-size': tickSize }),
  );
  const lines = own ? [] : wrapped(axisTitle(axis), bottom - top + 16, titleSize);
  const middle = (top + bottom) / 2;
  const title = lines.map((line, i) =>
    element(
      'text',
      {
        transform: `translate(${13 + i * 16} ${round(middle)}) rotate(-90)`,
        'text-anchor': 'middle',
        'font-size': titleSize,
      },
      escapeText(line),
    ),
  );
  const path = marks ? element('path', { d: marks, stroke: look.ink }) : '';
  return path + element('g', { fill: look.ink }, [...title, ...numbers]);
}

/** Room that the numbers and the title of a y axis need left of its panel. */
export function yAxisRoom(axis: Axis, scale: Scale, height: number): number {
  if (axis.hidden) return 0;
  const numbers = Math.max(0, ...scale.ticks.map(({ label }) => textWidth(label, tickSize)));
  const lines = axis.ticks ? 0 : wrapped(axisTitle(axis), height + 16, titleSize).length;
  return numbers + 12 + lines * 16 + (lines ? 4 : 0);
}
