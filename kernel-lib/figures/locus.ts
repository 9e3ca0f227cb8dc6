import { spectralLocus } from '../light/dominant-wavelength';
import type { Chromaticity } from '../light/light';
import { srgb } from '../light/srgb';
import { pngAddress } from './png/base64';
import { encodePng } from './png/encode-png';

/** The spectral locus as columns x and y; wavelengths in nm. */
export function locus() {
  const points = spectralLocus();
  return {
    x: points.map(({ at }) => at[0]),
    y: points.map(({ at }) => at[1]),
    wavelengths: points.map(({ wavelength }) => Math.round(wavelength * 1e9)),
  };
}

/** True inside the locus closed by the line of purples. */
export function insideLocus([px, py]: Chromaticity): boolean {
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
