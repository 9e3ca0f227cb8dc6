import type { Chart } from '../chart';
import { look } from '../look';
import { rangesOf } from '../ranges';
import { xAxis, yAxis, yAxisRoom } from './axes';
import { drawMark } from './draw-mark';
import { element, textElement } from './element';
import { legend } from './legend';
import { scaleOf } from './scale';

/** Width of every static picture in its own units; shown 640 px wide where there is room. */
export const pictureWidth = 520;
const shownWidth = 640;
const gap = 14;

/** Height per tick: a low panel still gets three or four. */
const roomFor = (height: number) => Math.min(34, height / 4);

/**
 * The chart as one self-contained SVG picture: no scripts, no fonts, no addresses to fetch.
 * Its numbers are picture units; it grows and shrinks with the page.
 */
export function toSvg(chart: Chart): string {
  const { panels } = chart;
  const first = rangesOf(chart, pictureWidth);
  const rooms = panels.map((panel, i) =>
    yAxisRoom(
      panel.y,
      scaleOf(panel.y, first.y[i], panel.height, 0, roomFor(panel.height)),
      panel.height,
    ),
  );
  const left = Math.max(14, ...rooms);
  const right = pictureWidth - 16;
  const ranges = rangesOf(chart, right - left);
  const x = scaleOf(chart.x, ranges.x, left, right, 50);

  const title = chart.title
    ? textElement(left, 20, chart.title, { 'font-size': 15, 'font-weight': 600, fill: look.ink })
    : '';
  const names = legend(chart, left, title ? 28 : 6, right - left);
  let top = (title ? 30 : 10) + names.height;

  const drawn = panels.map((panel, i) => {
    const bottom = top + panel.height;
    const y = scaleOf(panel.y, ranges.y[i], bottom, top, roomFor(panel.height));
    const place = { x, y, top, bottom, film: panel.film === true };
    const box = { x: left, y: top, width: right - left, height: panel.height };
    const ground = element('rect', { ...box, fill: panel.film ? look.film : '#ffffff' });
    const window = {
      ...box,
      viewBox: `${left} ${top} ${right - left} ${panel.height}`,
      overflow: 'hidden',
    };
    const content = element(
      'svg',
      window,
      panel.marks.map((mark) => drawMark(mark, place)),
    );
    const frame = element('rect', { ...box, fill: 'none', stroke: look.ink, 'stroke-width': 1 });
    const axis = panel.y.hidden ? '' : yAxis(panel.y, y, left, top, bottom);
    top = bottom + gap;
    return ground + content + (panel.y.hidden && chart.x.hidden ? '' : frame) + axis;
  });
  const bottom = top - gap;
  const below = chart.x.hidden ? '' : xAxis(chart.x, x, left, right, bottom);
  const height = Math.ceil(bottom + (chart.x.hidden ? 10 : 48));
  const paper = element('rect', { width: pictureWidth, height, fill: look.paper });
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      role: 'img',
      'aria-label': chart.alt,
      width: shownWidth,
      height: Math.round((height * shownWidth) / pictureWidth),
      viewBox: `0 0 ${pictureWidth} ${height}`,
      style: 'max-width:100%;height:auto',
      'font-family': look.font,
    },
    [paper, title, names.markup, ...drawn, below],
  );
}
