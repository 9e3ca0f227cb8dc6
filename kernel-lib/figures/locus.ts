import { observer } from '../light/observer';
import { srgb } from '../light/srgb';
import { pngAddress } from './png/base64';
import { encodePng } from './png/encode-png';

type Point = readonly [number, number];

let known: { x: number[]; y: number[]; wavelengths: number[] } | undefined;

/** The spectral locus of the CIE 1931 observer, 400 to 700 nm, as x and y; wavelengths in nm. */
export function locus() {
  if (known) return known;
  const { wavelengths, x, y, z } = observer();
  const inside = wavelengths
    .map((_, i) => i)
    .filter((i) => wavelengths[i] > 399e-9 && wavelengths[i] < 701e-9);
  const sum = (i: number) => x[i] + y[i] + z[i];
  known = {
    x: inside.map((i) => x[i] / sum(i)),
    y: inside.map((i) => y[i] / sum(i)),
    wavelengths: inside.map((i) => Math.round(wavelengths[i] * 1e9)),
  };
  return known;
}

/** True inside the locus closed by the line of purples. */
export function insideLocus([px, py]: Point): boolean {
  const { x, y } = locus();
  let inside = false;
  for (let i = 0, j = x.length - 1; i < x.length; j = i++) {
    const crosses = y[i] > py !== y[j] > py;
    if (crosses && px < ((x[j] - x[i]) * (py - y[i])) / (y[j] - y[i]) + x[i]) inside = !inside;
  }
  return inside;
}

/** The part of the x, y plane that the picture covers. */
export const diagram = { x: [0, 0.76], y: [0, 0.86] } as const;
const columns = 114;
const rows = 129;
let picture: string | undefined;

/** The colours of the diagram, paled so that ink stays readable on them; transparent outside the locus. */
export function diagramPicture(): string {
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
