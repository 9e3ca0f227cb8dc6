import type { PointsMark } from './chart';
import type { Style } from './look';
import { mostPoints } from './thin';

/** From here on error bars would be a grey wall: small dots without bars. */
const crowd = 150;

type Points = Pick<PointsMark, 'x' | 'y' | 'ux' | 'uy' | 'name'>;

/** Readings as points with error bars; many of them as dots, evenly picked where plotly would get slow. */
export function pointsMark({ x, y, ux, uy, name }: Points, style: Style): PointsMark {
  if (x.length <= crowd) return { type: 'points', x, y, ux, uy, name, style };
  const every = Math.ceil(x.length / mostPoints);
  const picked = (values: readonly number[]) => values.filter((_, i) => i % every === 0);
  return { type: 'points', small: true, x: picked(x), y: picked(y), name, style };
}
