import { slits } from '../aperture/aperture';
import { filmStrip } from '../camera/film-strip';
import { encodePng } from '../figures/png/encode-png';
import { type Colour, layRow, raster } from '../figures/png/raster';
import { illuminant } from '../light/illuminant';

const film: Colour = [0x0b, 0x0b, 0x0c];
const light: Colour = [0xfd, 0xfc, 0xf8];

/** Holes along both edges, and where fringes stand: parts of the icon's side. */
const holes = { count: 4, width: 0.12, height: 0.075, fromEdge: 0.125 };
const fringes = { top: 0.3, bottom: 0.7 };

/** Middle of each hole from the left, parts of the side: evenly over the film, half a step at each end. */
const holeMiddles = Array.from({ length: holes.count }, (_, i) => (i + 0.5) / holes.count);

/** What a filament lamp's light leaves on film behind five slits: R, G, B of each pixel. */
function fringeRow(points: number): Uint8ClampedArray {
  const aperture = slits(5, { width: 40e-6, spacing: 100e-6 });
  return filmStrip(aperture, illuminant('A'), { span: 0.02, points, exposure: 2 }).srgb;
}

/**
 * The program's icon: a piece of film with the fringes of five slits. Black reaches to all edges, and what counts stands
 * in the middle, so that it may be cut round.
 *
 * @param side pixels
 */
export function iconPng(side: number): Uint8Array {
  const at = (part: number) => Math.round(part * side);
  const picture = raster(side, side, film);
  const hole = raster(at(holes.width), 1, light).data;
  for (const top of [holes.fromEdge, 1 - holes.fromEdge - holes.height])
    for (const middle of holeMiddles)
      layRow(picture, hole, at(middle - holes.width / 2), at(top), at(holes.height));
  const rows = at(fringes.bottom) - at(fringes.top);
  layRow(picture, fringeRow(side), 0, at(fringes.top), rows);
  return encodePng({ ...picture, channels: 3 });
}

/** The same as SVG. */
export function iconSvg(): string {
  const side = 128;
  const colour = (rgb: ArrayLike<number>) =>
    `#${Array.from(rgb, (one) => one.toString(16).padStart(2, '0')).join('')}`;
  const pixels = fringeRow(side);
  const stops = Array.from({ length: side }, (_, i) => {
    const place = ((i + 0.5) / side).toFixed(4);
    return `<stop offset="${place}" stop-color="${colour(pixels.subarray(3 * i, 3 * i + 3))}"/>`;
  });
  const box = (x: number, y: number, width: number, height: number, fill: string) =>
    `<rect x="${x * side}" y="${y * side}" width="${width * side}" height="${height * side}" fill="${fill}"/>`;
  const bars = [holes.fromEdge, 1 - holes.fromEdge - holes.height].flatMap((top) =>
    holeMiddles.map((middle) =>
      box(middle - holes.width / 2, top, holes.width, holes.height, colour(light)),
    ),
  );
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${side} ${side}"><defs><linearGradient id="film">${stops.join('')}</linearGradient></defs>${box(0, 0, 1, 1, colour(film))}${bars.join('')}${box(0, fringes.top, 1, fringes.bottom - fringes.top, 'url(#film)')}</svg>\n`;
}
