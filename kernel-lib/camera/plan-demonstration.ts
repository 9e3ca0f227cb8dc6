import { requireKnown, requireOneOf } from '../numerics/require';
import {
  type Demonstration,
  type Need,
  type Sight,
  type SightName,
  sightNames,
  widestSourceFor,
  willItShow,
} from './will-it-show';

/** What stands in the cupboard. Lengths in m. */
export interface Cupboard {
  readonly slides: readonly Pick<Demonstration, 'slits' | 'width' | 'spacing'>[];
  /** Each with its shortest and longest wavelength, and how bright it is beside the others. */
  readonly lights: readonly {
    readonly name: string;
    readonly from: number;
    readonly to: number;
    readonly brightness: number;
  }[];
  readonly collimators: readonly number[];
  /** Camera lenses, or distances that the room allows. */
  readonly lenses: readonly number[];
  /** Narrowest and widest source slit. */
  readonly sourceSlit: readonly [narrowest: number, widest: number];
}

/** One arrangement of what the cupboard has, and what it shows. */
export interface Arrangement {
  readonly slide: Cupboard['slides'][number];
  readonly light: Cupboard['lights'][number];
  readonly demonstration: Demonstration;
  /** Of what was wished for. */
  readonly shows: readonly SightName[];
  /** Of all sights. */
  readonly sights: readonly Sight[];
}

/** Arrangements one after the other, and what none of them shows, with why. */
export interface Plan {
  readonly arrangements: readonly Arrangement[];
  readonly without: readonly { readonly name: SightName; readonly why: string }[];
}

/**
 * Choose from the cupboard what shows a class what it shall see: as few arrangements as the greedy choice finds, of
 * equal ones the brightest. The source slit is opened as far as all that is wished for there allows. In the middle the
 * pattern is as bright as b N² a² / (F f²) (common practice, no source).
 *
 * @param wishes what shall be seen
 * @param cupboard slides, lights, lenses, source slit
 * @param where how it is caught and from where it is seen
 * @throws RangeError, TypeError where something is missing from the cupboard, or is no length
 * @example planDemonstration(['orders'], { slides: [{ slits: 2, width: 4e-5, spacing: 1.6e-4 }], lights: [{ name: 'green filter', from: 5.41e-7, to: 5.51e-7, brightness: 1 }], collimators: [0.3], lenses: [0.3, 3], sourceSlit: [1e-5, 1e-3] }, { by: 'lenses', catcher: { kind: 'screen' }, enlarged: 1, seat: 12 }).arrangements[0].demonstration.distance // 3
 */
export function planDemonstration(
  wishes: readonly SightName[],
  cupboard: Cupboard,
  where: Pick<Demonstration, 'by' | 'catcher' | 'enlarged' | 'seat'>,
): Plan {
  requireKnown('The cupboard', cupboard, [
    'slides',
    'lights',
    'collimators',
    'lenses',
    'sourceSlit',
  ]);
  for (const name of wishes) requireOneOf('What shall be seen', name, sightNames);
  for (const name of ['slides', 'lights', 'collimators', 'lenses'] as const) {
    if (cupboard[name]?.length > 0) continue;
    throw new RangeError(`There are no ${name} in the cupboard: name one at least.`);
  }
  const all = everyArrangement(wishes, cupboard, where);
  const arrangements: Arrangement[] = [];
  let left = [...wishes];
  for (;;) {
    const best = bestFor(left, all);
    if (!best) break;
    arrangements.push(best);
    left = left.filter((name) => !best.shows.includes(name));
  }
  return { arrangements, without: left.map((name) => ({ name, why: nearest(name, all) })) };
}

function everyArrangement(
  wishes: readonly SightName[],
  { slides, lights, collimators, lenses, sourceSlit: [narrowest, widest] }: Cupboard,
  where: Pick<Demonstration, 'by' | 'catcher' | 'enlarged' | 'seat'>,
): Arrangement[] {
  const all: Arrangement[] = [];
  for (const slide of slides)
    for (const light of lights)
      for (const sourceDistance of collimators)
        for (const distance of lenses) {
          const { from, to } = light;
          const open = { ...slide, from, to, sourceDistance, distance, ...where };
          const widths = wishes.flatMap(
            (name) => widestSourceFor(name, { ...open, sourceWidth: narrowest }) ?? [],
          );
          const sourceWidth = Math.max(narrowest, Math.min(widest, ...widths));
          const demonstration = { ...open, sourceWidth };
          const sights = willItShow(demonstration);
          const shows = sights
            .filter(({ name, shows }) => shows && wishes.includes(name))
            .map(({ name }) => name);
          all.push({ slide, light, demonstration, shows, sights });
        }
  return all;
}

const brightness = ({ light, demonstration }: Arrangement) => {
  const { sourceWidth, slits, width, sourceDistance, distance } = demonstration;
  return (light.brightness * sourceWidth * (slits * width) ** 2) / (sourceDistance * distance ** 2);
};

function bestFor(wishes: readonly SightName[], all: readonly Arrangement[]) {
  const count = ({ shows }: Arrangement) => shows.filter((name) => wishes.includes(name)).length;
  let best: Arrangement | undefined;
  for (const one of all) {
    if (count(one) === 0) continue;
    const more = best ? count(one) - count(best) : 1;
    if (!best || more > 0 || (more === 0 && brightness(one) > brightness(best))) best = one;
  }
  return best;
}

/** What stands in the way where the fewest things do. */
function nearest(name: SightName, all: readonly Arrangement[]): string {
  let fewest: readonly Need[] | undefined;
  // Where the slits are wrong from the start, other lenses do not help.
  const inTheWay = (unmet: readonly Need[]) =>
    unmet.length + (unmet.some(({ of }) => of === 'slits') ? 10 : 0);
  for (const { sights } of all) {
    const found = sights.find((one) => one.name === name);
    const unmet = found?.needs.filter(({ isMet }) => !isMet) ?? [];
    if (!fewest || inTheWay(unmet) < inTheWay(fewest)) fewest = unmet;
  }
  return (fewest ?? []).map(({ sentence }) => sentence).join(' ');
}
