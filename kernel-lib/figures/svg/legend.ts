import type { Chart, Mark } from '../chart';
import { look } from '../look';
import { shapeElement, strokeOf } from './draw-mark';
import { element, textElement, textWidth } from './element';

const size = 13;
const sample = 34;
const rowHeight = 19;

type Named = Mark & { readonly name: string };

const isNamed = (mark: Mark): mark is Named => 'name' in mark && mark.name !== undefined;

function sampleOf(mark: Named, x: number, y: number): string {
  const d = `M${x} ${y}h${sample - 8}`;
  switch (mark.type) {
    case 'points':
      if (mark.small) {
        return element('circle', { cx: x + 13, cy: y, r: 2.4, fill: mark.style.colour });
      }
      return shapeElement(mark.style.shape, x + 13, y, mark.style);
    case 'line':
    case 'strokes':
      return element('path', { d, ...strokeOf(mark.style) });
    case 'sticks':
      return element('path', { d: `M${x + 13} ${y - 6}v12`, stroke: mark.colours[0] });
    default:
      return element('rect', {
        ...{ x, y: y - 6, width: sample - 8, height: 12 },
        ...{ fill: look.blue, 'fill-opacity': 0.13 },
      });
  }
}

/** The names of the marks with a sample of each, wrapped into rows of at most `width`. */
export function legend(chart: Chart, x: number, y: number, width: number) {
  const seen = new Set<string>();
  const named = chart.panels
    .flatMap((panel) => panel.marks)
    .filter(isNamed)
    .filter(({ name }) => !seen.has(name) && seen.add(name));
  let [column, row] = [0, 0];
  const markup = named.map((mark) => {
    const room = sample + textWidth(mark.name, size) + 12;
    if (column > 0 && column + room > width) [column, row] = [0, row + 1];
    const [left, middle] = [x + column, y + row * rowHeight + rowHeight / 2];
    column += room;
    const label = textElement(left + sample, middle + 4.5, mark.name, {
      fill: look.ink,
      'font-size': size,
    });
    return sampleOf(mark, left, middle) + label;
  });
  return { markup: markup.join(''), height: named.length ? (row + 1) * rowHeight + 6 : 0 };
}
