import { colourName, D65_CHROMATICITY } from '../light/dominant-wavelength';

import type { TextMark } from './chart';
import { diagram, insideLocus } from './locus';
import { look } from './look';

let known: TextMark[] | undefined;
const step = 0.01;

/** The learner's colour names, each in the middle of the region of the x, y diagram that it names. */
export function regionLabels(): TextMark[] {
  if (known) return known;
  const regions = new Map<string, { sum: number; x: number; y: number }>();
  for (let x = step; x < diagram.x[1]; x += step) {
    for (let y = step; y < diagram.y[1]; y += step) {
      if (!insideLocus([x, y])) continue;
      const name = colourName([x, y]);
      // Pure colours weigh more: the middle, where most paths run, stays free.
      const weight = (x - D65_CHROMATICITY[0]) ** 2 + (y - D65_CHROMATICITY[1]) ** 2;
      const region = regions.get(name) ?? { sum: 0, x: 0, y: 0 };
      const moved = { x: region.x + weight * x, y: region.y + weight * y };
      regions.set(name, { sum: region.sum + weight, ...moved });
    }
  }
  known = [...regions]
    .filter(([name]) => !name.startsWith('pale ') && name !== 'white')
    .map(([text, { sum, x, y }]) => ({
      type: 'text',
      ...{ x: x / sum, y: y / sum, text, colour: look.soft, size: 11 },
    }));
  return known;
}
