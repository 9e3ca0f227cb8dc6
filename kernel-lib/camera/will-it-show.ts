import { requireOneOf, requirePositive, requireWhole } from '../numerics/require';
import { sincPi } from '../numerics/sinc';
import { formatNumber } from '../quantity/format-number';

/** What somebody may want a class to see. */
export const sightNames = [
  'orders',
  'envelope',
  'missing order',
  'weak maxima',
  'colours',
] as const;
/** The name of one such thing. */
export type SightName = (typeof sightNames)[number];

/** What the pattern is caught with: a screen in the room, film, or a camera's pixels. */
export type Catcher =
  | { readonly kind: 'screen' }
  | {
      readonly kind: 'film' /** Finest pattern that it keeps, line pairs per metre. */;
      readonly lines: number;
    }
  | { readonly kind: 'camera' /** Distance of neighbouring pixels, m. */; readonly pixel: number };

const ways = ['lenses', 'distance', 'collimator', 'camera lens'] as const;
/** Which of the two lenses there are: both, none, or the one named. */
export type ParallelBy = (typeof ways)[number];

/** Whether each of the two lenses is there. */
export function lensesBy(by: ParallelBy): { collimator: boolean; camera: boolean } {
  return {
    collimator: by === 'lenses' || by === 'collimator',
    camera: by === 'lenses' || by === 'camera lens',
  };
}

/** An arrangement to be shown. Lengths in m. */
export interface Demonstration {
  readonly slits: number;
  readonly width: number;
  /** Centre to centre; without meaning for one slit. */
  readonly spacing: number;
  /** Shortest and longest wavelength of the light; the same twice for one line. */
  readonly from: number;
  readonly to: number;
  /** Width of the source slit; 0 for a laser's beam. */
  readonly sourceWidth: number;
  /** Focal length of the collimator, or without one the distance of the source slit. */
  readonly sourceDistance: number;
  /** Focal length of the camera lens, or without one the distance of the screen. */
  readonly distance: number;
  /** What makes the light parallel and brings it together: lenses, or nothing but distance; or a lens for one of the two. */
  readonly by: ParallelBy;
  readonly catcher: Catcher;
  /** How many times larger the class sees it than it was caught: 1 on the screen itself, more by a projector. */
  readonly enlarged: number;
  /** From there to the farthest seat. */
  readonly seat: number;
}

/** One condition for something to be seen. */
export interface Need {
  readonly of: 'slits' | 'source slit' | 'near field' | 'catcher' | 'eye' | 'overlap' | 'exposure';
  readonly isMet: boolean;
  /** What holds, and where it is not met what to change. */
  readonly sentence: string;
}

/** Whether one thing will be seen. */
export interface Sight {
  readonly name: SightName;
  readonly shows: boolean;
  readonly needs: readonly Need[];
  /** How many times longer than for the middle must be exposed, so that it is as bright as can be seen; 1 or more. */
  readonly exposure: number;
}

/** Contrast of fringes below which they are called washed out. Common practice, no source. */
const LEAST_CONTRAST = 0.5;
/** Where sin(πx)/(πx) has come down to that. */
const AT_LEAST_CONTRAST = 0.6033545644;
/** Pixels to a fringe: two would do by Shannon's theorem, were they where they should be. Common practice, no source. */
const PIXELS = 3;
/** Two minutes of arc to a fringe: one for its bright half, one for its dark. Common practice, no source. */
const EYE = (2 / 60) * (Math.PI / 180);
/** Share of the middle's brightness that is still seen beside it. Common practice, no source. */
const FAINTEST = { screen: 0.02, film: 0.03, camera: 0.01 };
/** Longer exposures than this spread light all over film or camera. Common practice, no source. */
const LONGEST = 100;
/** A spectrum narrower than this has no colours to show, m. */
const COLOURFUL = 60e-9;

/**
 * Which things of a diffraction pattern a class will see, and what to change where not.
 *
 * Each is a pattern of some period p in angle: orders p = λ/d; the minima of one slit λ/a; weak maxima λ/(N d);
 * the colours of the first order (λ₂ − λ₁)/d. It is seen when
 *
 * - the source slit b leaves contrast: |sinc(b/(F p))| ≥ ½, that is b ≤ 0.603 p F (common practice, no source);
 * - by distance alone, the far field has begun: W²/λ ≤ r, W the width of all slits together and 1/r = 1/L + 1/L′
 *   (only one of these beside a collimator or a camera lens), so that paths from edge and middle bend by no more than λ/8 (common practice, no source);
 * - p f is no finer than film or three pixels keep, and seen from the farthest seat 2′ (common practice, no source);
 * - wavelengths do not fill each other's gaps: order m of a band is seen up to m = λ/(λ₂ − λ₁), and the first order of
 *   a spectrum is free of the second where λ₂ ≤ 2 λ₁ (`freeSpectralRange`);
 * - it is bright enough beside the middle: 2 % on a screen, 3 % on film, 1 % in a camera, else longer exposed.
 *
 * @param demonstration slits, light, lengths (m), what it is caught with and the farthest seat
 * @returns one `Sight` for each thing, in the order of `sightNames`
 * @throws RangeError, TypeError for lengths not above 0 and counts not whole
 * @example willItShow({ slits: 2, width: 4e-5, spacing: 1.6e-4, from: 5.46e-7, to: 5.46e-7, sourceWidth: 5e-5, sourceDistance: 0.3, distance: 3, by: 'lenses', catcher: { kind: 'screen' }, enlarged: 1, seat: 12 })[0].shows // true
 */
export function willItShow(demonstration: Demonstration): Sight[] {
  checkDemonstration(demonstration);
  return sightNames.map((name) => sight(name, demonstration));
}

function checkDemonstration(demonstration: Demonstration): void {
  const { slits, sourceWidth, catcher, by } = demonstration;
  requireWhole('The number of slits', slits, 1, Infinity);
  const lengths = [
    'width',
    'spacing',
    'from',
    'to',
    'sourceDistance',
    'distance',
    'enlarged',
    'seat',
  ];
  for (const name of lengths) {
    if (name === 'spacing' && slits === 1) continue;
    requirePositive(name, demonstration[name as 'width'], 'give it in metres');
  }
  if (sourceWidth !== 0) requirePositive('sourceWidth', sourceWidth, 'give it in metres, or 0');
  if (demonstration.to < demonstration.from)
    throw new RangeError(
      'The light goes from a shorter to a longer wavelength: exchange from and to.',
    );
  if (slits > 1 && demonstration.spacing < demonstration.width)
    throw new RangeError('The slits would overlap: make them narrower or move them apart.');
  requireOneOf('by', by, ways);
  requireOneOf('The kind of catcher', catcher.kind, ['screen', 'film', 'camera']);
  if (catcher.kind === 'film') requirePositive('lines', catcher.lines, 'give line pairs per metre');
  if (catcher.kind === 'camera') requirePositive('pixel', catcher.pixel, 'give it in metres');
}

/** What a thing is as a pattern: its period in angle, rad, and its brightness beside the middle; or why there is none. */
type Pattern = { readonly period: number; readonly height: number } | { readonly none: string };

const middle = ({ from, to }: Demonstration) => (from + to) / 2;
const oneSlit = (turns: number) => sincPi(turns) ** 2;
/** First maximum beside the middle of one slit: at tan u = u, u = 4.4934. */
const SIDE_MAXIMUM = 0.0471904;

function patternOf(name: SightName, demonstration: Demonstration): Pattern {
  const { slits, width, spacing, from, to } = demonstration;
  const wavelength = middle(demonstration);
  const several = slits > 1;
  if (name === 'envelope') return { period: wavelength / width, height: SIDE_MAXIMUM };
  if (!several) return { none: 'It takes more than one slit.' };
  const order = { period: wavelength / spacing, height: oneSlit(width / spacing) };
  if (name === 'orders') {
    if (order.height > 1e-6) return order;
    return { none: 'The first order is missing: make the slits narrower than their spacing.' };
  }
  if (name === 'weak maxima') {
    if (slits < 3) return { none: 'It takes three slits or more.' };
    return { period: wavelength / (slits * spacing), height: 1 / slits ** 2 };
  }
  if (name === 'colours') {
    if (to - from < COLOURFUL) return { none: 'It takes white light, or much of it.' };
    return { period: (to - from) / spacing, height: order.height };
  }
  const missing = spacing / width;
  if (Math.abs(missing - Math.round(missing)) > 0.02 || missing < 1.5) {
    const whole = Math.max(2, Math.round(missing));
    return {
      none: `No order is missing: the spacing is ${formatNumber(missing, 3)} slit widths. Take slits ${micrometres(spacing / whole)} wide.`,
    };
  }
  // What is missing is seen by its neighbour that is there.
  return { ...order, height: oneSlit((Math.round(missing) - 1) / missing) };
}

function sight(name: SightName, demonstration: Demonstration): Sight {
  const pattern = patternOf(name, demonstration);
  if ('none' in pattern) {
    const needs: Need[] = [{ of: 'slits', isMet: false, sentence: pattern.none }];
    return { name, shows: false, needs, exposure: 1 };
  }
  const { period, height } = pattern;
  const faintest = FAINTEST[demonstration.catcher.kind];
  const exposure = Math.max(1, faintest / height);
  const needs = [
    sourceSlit(demonstration, period),
    ...(demonstration.by === 'lenses' ? [] : [nearField(demonstration)]),
    ...catching(demonstration, period),
    eye(demonstration, period),
    ...overlap(name, demonstration),
    exposing(demonstration, height, exposure),
  ];
  return { name, shows: needs.every(({ isMet }) => isMet), needs, exposure };
}

/** The widest source slit, m, that leaves contrast to a pattern of a period, rad: b = 0.603 p F. */
const widestSource = (period: number, sourceDistance: number): number =>
  AT_LEAST_CONTRAST * period * sourceDistance;

function sourceSlit({ sourceWidth, sourceDistance }: Demonstration, period: number): Need {
  const contrast = Math.abs(sincPi(sourceWidth / (sourceDistance * period)));
  const widest = widestSource(period, sourceDistance);
  // Beyond its first zero contrast comes back, but bright and dark have changed places.
  const isMet = sourceWidth <= widest * (1 + 1e-9) && contrast >= LEAST_CONTRAST - 1e-9;
  const sentence = isMet
    ? `The source slit leaves ${percent(contrast)} of the contrast.`
    : `The source slit is too wide: it leaves ${percent(contrast)} of the contrast. Narrow it to ${micrometres(widest)}, with ${percent(widest / sourceWidth)} of the light left, or move it ${formatNumber(sourceWidth / widest, 3)} times as far away.`;
  return { of: 'source slit', isMet, sentence };
}

/**
 * The widest source slit, m, that leaves contrast to one thing, of a demonstration with any source slit; undefined where
 * its slits do not make that thing.
 */
export function widestSourceFor(name: SightName, demonstration: Demonstration): number | undefined {
  const pattern = patternOf(name, demonstration);
  if ('none' in pattern) return undefined;
  return widestSource(pattern.period, demonstration.sourceDistance);
}

function nearField(demonstration: Demonstration): Need {
  const { slits, width, spacing, sourceDistance, distance } = demonstration;
  const whole = (slits > 1 ? (slits - 1) * spacing : 0) + width;
  const far = whole ** 2 / middle(demonstration);
  const lenses = lensesBy(demonstration.by);
  const open = [
    !lenses.camera && ([distance, 'behind the slits'] as const),
    !lenses.collimator && ([sourceDistance, 'from the source slit'] as const),
  ].filter((way) => way !== false);
  const both = 1 / open.reduce((sum, [length]) => sum + 1 / length, 0);
  const told = open.map(([length, where]) => `${metres(length)} ${where}`).join(' and ');
  const count = open.length > 1 ? ` count as ${metres(both)}` : '';
  const isMet = both >= far;
  const sentence = isMet
    ? `The far field has begun: it does at ${metres(far)}.`
    : `It is near field still: ${told}${count}, and it takes ${metres(far)}. Go farther away, take fewer or closer slits, or lenses.`;
  return { of: 'near field', isMet, sentence };
}

function catching({ catcher, distance }: Demonstration, period: number): Need[] {
  if (catcher.kind === 'screen') return [];
  const finest = catcher.kind === 'film' ? 1 / catcher.lines : PIXELS * catcher.pixel;
  const fringe = period * distance;
  const isMet = fringe >= finest;
  const what = catcher.kind === 'film' ? 'the film keeps' : `${PIXELS} pixels are`;
  const sentence = isMet
    ? `It is ${millimetres(fringe)} from one to the next, and ${what} ${millimetres(finest)}.`
    : `It is finer than can be kept: ${millimetres(fringe)} from one to the next, and ${what} ${millimetres(finest)}. Take a camera lens of ${millimetres(finest / period)} at least.`;
  return [{ of: 'catcher', isMet, sentence }];
}

function eye({ distance, enlarged, seat }: Demonstration, period: number): Need {
  const angle = (period * distance * enlarged) / seat;
  const isMet = angle >= EYE;
  const minutes = `${formatNumber((angle * 180 * 60) / Math.PI, 2)}′`;
  const sentence = isMet
    ? `From the farthest seat it is ${minutes} from one to the next.`
    : `From the farthest seat it is ${minutes} from one to the next, and an eye needs 2′: enlarge it ${formatNumber(EYE / angle, 2)} times, or let the class come within ${metres((seat * angle) / EYE)}.`;
  return { of: 'eye', isMet, sentence };
}

function overlap(name: SightName, { from, to, spacing, width }: Demonstration): Need[] {
  if (name === 'colours') {
    const isMet = to <= 2 * from;
    const second = `${formatNumber(to * 1e9, 3)} nm of the first order falls on ${formatNumber((to / 2) * 1e9, 3)} nm of the second`;
    const sentence = isMet
      ? 'The first order’s colours stand apart from the second’s.'
      : `Orders overlap: ${second}. A filter that takes away what is shorter sorts them.`;
    return [{ of: 'overlap', isMet, sentence }];
  }
  if (to === from) return [];
  const orders = Math.floor((from + to) / 2 / (to - from) + 1e-9);
  const needed = name === 'missing order' ? Math.round(spacing / width) : 1;
  const isMet = orders >= needed;
  const sentence = isMet
    ? `Colours leave ${orders} ${orders === 1 ? 'order' : 'orders'} on each side apart.`
    : `From order ${orders + 1} on colours fill each other’s gaps, and this takes order ${needed}: put a filter in.`;
  return [{ of: 'overlap', isMet, sentence }];
}

function exposing({ catcher }: Demonstration, height: number, exposure: number): Need {
  const beside = `It is ${percent(height)} as bright as the middle`;
  if (exposure === 1) return { of: 'exposure', isMet: true, sentence: `${beside}.` };
  if (catcher.kind === 'screen')
    return {
      of: 'exposure',
      isMet: false,
      sentence: `${beside}, too faint beside it on a screen: cover the middle there, or take a camera.`,
    };
  const isMet = exposure <= LONGEST;
  const sentence = `${beside}: expose ${formatNumber(exposure, 2)} times as long as for the middle, which burns out.`;
  return {
    of: 'exposure',
    isMet,
    sentence: isMet ? sentence : `${beside}: no exposure shows it beside that. Take fewer slits.`,
  };
}

const percent = (share: number) => `${formatNumber(100 * share, 2)} %`;
const micrometres = (length: number) => `${formatNumber(length * 1e6, 3)} µm`;
const millimetres = (length: number) => `${formatNumber(length * 1e3, 3)} mm`;
const metres = (length: number) =>
  length < 1 ? millimetres(length) : `${formatNumber(length, 3)} m`;
