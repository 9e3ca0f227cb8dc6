import { encodePng, pngAddress } from './png/encode-png';
import { element } from './svg/element';

/** A step wedge, to be shown on a screen and photographed. */
export interface StepWedge {
  /** Share of white in each step, from the left: its light, in units of the brightest. */
  readonly light: readonly number[];
  /** The steps alone, to be shown pixel for pixel. */
  readonly png: Uint8Array;
  /** The same with what each step is written below it. */
  readonly svg: string;
  readonly alt: string;
}

/** Which of a square of 4 × 4 pixels turns white next: neighbours as late after each other as can be (common practice). */
const order = [0, 8, 2, 10, 12, 4, 14, 6, 3, 11, 1, 9, 15, 7, 13, 5];
const steps = order.length;
/** Pixels. */
const size = { step: 64, height: 160, label: 36 };

/**
 * Sixteen even fields whose light is known whatever curve a screen has: each is made of pixels that are white or black, and
 * n of every 16 are white, so that it sends n/16 of the light of the last. Shown pixel for pixel and photographed a little
 * out of focus, or from so far that single pixels are not seen, it tells a camera's curve: `wedgeSteps` reads the codes
 * of its steps, `curveFromWedge` makes the curve of them. (Codes of grey would be no measure: what light a screen makes
 * of a code is as little known as what code a camera makes of light.)
 *
 * @example stepWedge().light[3] // 0.25
 */
export function stepWedge(): StepWedge {
  const [width, height] = [steps * size.step, size.height];
  const data = new Uint8Array(3 * width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const isWhite = order[4 * (y % 4) + (x % 4)] <= Math.floor(x / size.step);
      data.fill(isWhite ? 255 : 0, 3 * (y * width + x), 3 * (y * width + x) + 3);
    }
  const light = order.map((_, k) => (k + 1) / steps);
  const png = encodePng({ width, height, channels: 3, data });
  const alt = `Step wedge: ${steps} fields side by side, from the left 1 to ${steps} of every ${steps} pixels white, the others black; each ${size.step} pixels wide and ${height} high.`;
  const labels = light
    .map((_, k) =>
      element(
        'text',
        { x: (k + 0.5) * size.step, y: height + 24, 'text-anchor': 'middle', 'font-size': 15 },
        `${k + 1}/${steps}`,
      ),
    )
    .join('');
  const whole = height + size.label;
  const image = element('image', {
    ...{ width, height, href: pngAddress(png) },
    style: 'image-rendering:pixelated',
  });
  const ground = element('rect', { width, height: whole, fill: 'white' });
  const shown = { width, height: whole, viewBox: `0 0 ${width} ${whole}` };
  const named = { xmlns: 'http://www.w3.org/2000/svg', role: 'img', 'aria-label': alt };
  const svg = element(
    'svg',
    { ...named, ...shown, 'font-family': 'sans-serif' },
    `${ground}${image}${labels}`,
  );
  return { light, png, svg, alt };
}
