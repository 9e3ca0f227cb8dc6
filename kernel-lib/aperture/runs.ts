import { type Aperture, asComplex, type Slit, soundAperture } from './aperture';

/** Equal slits at equal spacing that stand next to one another; a slit by itself is a run of one. */
export interface Run {
  readonly count: number;
  /** Slit width a, m. */
  readonly width: number;
  /** Centre to centre d, m; 0 for a run of one. */
  readonly spacing: number;
  /** Middle of the whole run, m. */
  readonly middle: number;
  /** Complex amplitude of each slit. */
  readonly re: number;
  readonly im: number;
}

const known = new WeakMap<Aperture, readonly Run[]>();

/**
 * Takes an aperture apart into runs of equal slits at equal spacing, whose patterns have closed forms:
 * N equal slits are one run; with one slit blocked they are two; slits at random are runs of one.
 *
 * @param aperture any aperture
 * @returns runs in ascending order; together they hold every slit once
 * @throws as `slitsAt` when the aperture is not sound
 */
export function runs(aperture: Aperture): readonly Run[] {
  const found = known.get(aperture);
  if (found) return found;
  const sound = soundAperture(aperture);
  const list = split(sound.slits);
  known.set(sound, list);
  return list;
}

/**
 * The one run that an aperture of equal, equally spaced slits consists of.
 *
 * @returns the run, or undefined for any other aperture
 */
export function regularRun(aperture: Aperture): Run | undefined {
  const list = runs(aperture);
  return list.length === 1 ? list[0] : undefined;
}

function split(slits: readonly Slit[]): readonly Run[] {
  const last = slits.length - 1;
  // Centres are rounded to the last bit of the largest of them.
  const size = Math.max(Math.abs(slits[0].centre), Math.abs(slits[last].centre));
  const slack = 4 * Number.EPSILON * size;
  const list: Run[] = [];
  for (let from = 0; from <= last; ) {
    let to = from;
    while (to < last && continues(slits, from, to, slack)) to++;
    // Two slits amid others may be neighbours by chance; as a run they would save nothing.
    if (to - from === 1 && slits.length > 2) to = from;
    list.push(runOf(slits, from, to));
    from = to + 1;
  }
  return list;
}

function continues(slits: readonly Slit[], from: number, to: number, slack: number): boolean {
  const first = slits[from];
  const next = slits[to + 1];
  const spacing = slits[from + 1].centre - first.centre;
  const gap = next.centre - slits[to].centre;
  return alike(first, next) && Math.abs(gap - spacing) <= slack + 1e-14 * spacing;
}

function alike(a: Slit, b: Slit): boolean {
  const [s, t] = [asComplex(a.transmission), asComplex(b.transmission)];
  return Math.abs(a.width - b.width) <= 1e-14 * a.width && s.re === t.re && s.im === t.im;
}

function runOf(slits: readonly Slit[], from: number, to: number): Run {
  const [first, last] = [slits[from], slits[to]];
  const { re, im } = asComplex(first.transmission);
  return {
    count: to - from + 1,
    width: first.width,
    spacing: to === from ? 0 : (last.centre - first.centre) / (to - from),
    middle: (first.centre + last.centre) / 2,
    re,
    im,
  };
}
