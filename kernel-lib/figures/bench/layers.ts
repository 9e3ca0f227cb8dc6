import { slits } from '../../aperture/aperture';
import { intensityProfile } from '../../aperture/intensity';
import { missingOrders } from '../../aperture/orders';
import { laser } from '../../light/lamp';
import type { Chromaticity } from '../../light/light';
import { srgb } from '../../light/srgb';
import { xyz } from '../../light/xyz';
import { formatNumber } from '../../quantity/format-number';
import { changed, shownWavelengths } from './change';
import type { BenchPattern, Curve, PlaceReading } from './compute';
import type { BenchSetting } from './setting';

/** What can be laid over film and curve, or set beside them, each by itself. */
export const layerNames = [
  'ghost',
  'before',
  'envelope',
  'missing',
  'wavelengths',
  'paths',
  'colour',
] as const;
export type Layer = (typeof layerNames)[number];
export type Layers = ReadonlySet<Layer>;

/** Those that the bench begins with. */
export const startLayers: Layers = new Set<Layer>(['ghost']);

/**
 * Layers as a part of an address; empty for those that the bench begins with.
 *
 * @example layersPart(new Set(['ghost', 'envelope'])) // 'layers=ghost,envelope'
 */
export function layersPart(layers: Layers): string {
  const named = layerNames.filter((name) => layers.has(name));
  const isUsual = named.length === startLayers.size && named.every((one) => startLayers.has(one));
  return isUsual ? '' : `layers=${named.join(',') || 'none'}`;
}

/** The layers that an address names, what it names and nobody knows, and the address without them. */
export function readLayers(address: string): { layers: Layers; faults: string[]; rest: string } {
  const parts = address.replace(/^#/, '').split('&');
  const named = parts.find((part) => part.startsWith('layers='));
  const rest = parts.filter((part) => !part.startsWith('layers=')).join('&');
  if (named === undefined) return { layers: startLayers, faults: [], rest };
  const words = named.slice('layers='.length).replace(/%2C/gi, ',').split(',');
  const faults = words
    .filter((word) => word !== '' && word !== 'none' && !layerNames.some((name) => name === word))
    .map((word) => `"${word.slice(0, 60)}" in the link is no layer of the bench.`);
  return { layers: new Set(layerNames.filter((name) => words.includes(name))), faults, rest };
}

/** An order where it falls on the film. */
export interface OrderMark {
  readonly order: number;
  /** m from the image of the source slit. */
  readonly place: number;
}

/** Orders farther out than this are looked for no more. */
const MOST_ORDERS = 600;

/**
 * Where the orders of a wavelength fall on the film: sin θ = m λ/d + sin θi, place f tan (θ − θi).
 *
 * @returns none for one slit
 * @see common practice, no source
 */
export function orderMarks(setting: BenchSetting, wavelength: number): OrderMark[] {
  const { slits: count, spacing, focalLength, span, incidence } = setting;
  if (count < 2) return [];
  const marks: OrderMark[] = [];
  for (let order = -MOST_ORDERS; order <= MOST_ORDERS; order++) {
    const sine = (order * wavelength) / spacing + Math.sin(incidence);
    if (Math.abs(sine) >= 1) continue;
    const deviation = Math.asin(sine) - incidence;
    const place = focalLength * Math.tan(deviation);
    if (Math.abs(deviation) <= 1.5 && Math.abs(place) <= span / 2) marks.push({ order, place });
  }
  return marks;
}

/** Those orders of the wavelength read at that are missing, because each slit alone is dark there. */
export function missingMarks({ setting, reading }: BenchPattern): OrderMark[] {
  const { slits: count, width, spacing, focalLength, span } = setting;
  if (count < 2) return [];
  // As they would stand without flaws: those make orders weaker and leave none out.
  const perfect = slits(count, { width, spacing: Math.max(spacing, width) });
  const reach = Math.min(2, (2 * span) / focalLength);
  const missing = new Set(missingOrders(perfect, reading, reach));
  return orderMarks(setting, reading).filter(({ order }) => missing.has(Math.abs(order)));
}

/** Orders of one wavelength, and the colour that it has by itself. */
interface OrdersOfOne {
  readonly wavelength: number;
  readonly name: string;
  readonly colour: string;
  readonly marks: readonly OrderMark[];
}

/** Orders of several wavelengths that the light has, beside those of the wavelength read at. */
export function ordersOfSeveral({ setting, reading }: BenchPattern): OrdersOfOne[] {
  if (setting.slits < 2) return [];
  return shownWavelengths(setting)
    .filter((wavelength) => Math.abs(wavelength - reading) > 0.5e-9)
    .map((wavelength) => ({
      wavelength,
      name: `${formatNumber(wavelength * 1e9, 4)} nm`,
      colour: colourOf(wavelength),
      marks: orderMarks(setting, wavelength),
    }));
}

const colours = new Map<number, string>();

/** The colour of one wavelength as a screen comes nearest to it. */
export function colourOf(wavelength: number): string {
  const known = colours.get(wavelength);
  if (known) return known;
  const found = xyz(laser(wavelength));
  // As bright as the screen can show this hue: at the ends of the spectrum too.
  const parts = srgb(found, { exposure: 1 / Math.max(...found) });
  const colour = `rgb(${parts.map((part) => Math.round(255 * part)).join(' ')})`;
  colours.set(wavelength, colour);
  return colour;
}

const envelopes = new WeakMap<BenchPattern, Curve>();

/**
 * What one of the slits does by itself at the wavelength read at, as high as the middle of all of them:
 * sinc²(π a s/λ). The maxima of any number of equal slits lie on it or below.
 */
export function envelopeOf(pattern: BenchPattern): Curve {
  const known = envelopes.get(pattern);
  if (known) return known;
  const { strip, setting, reading } = pattern;
  const one = slits(1, { width: setting.width });
  const made = { places: strip.positions, values: intensityProfile(one, reading, strip.s) };
  envelopes.set(pattern, made);
  return made;
}

/** How far the paths of two neighbouring slits differ in the direction read. */
interface PathDifference {
  /** d s, m: with the sign of the angle. */
  readonly length: number;
  /** The same in wavelengths. */
  readonly waves: number;
  /** How far each arrow is turned against the one before it, as part of a turn from −½ to ½. */
  readonly turn: number;
}

/**
 * The path difference of neighbouring slits, or of the two edges of a single one: d (sin θ − sin θi).
 *
 * @see common practice, no source
 */
export function pathDifference({ setting, reading }: BenchPattern, { s }: PlaceReading) {
  const length = s * (setting.slits > 1 ? setting.spacing : setting.width);
  const waves = length / reading;
  return { length, waves, turn: waves - Math.round(waves) } satisfies PathDifference;
}

/** x, y of the film's colours from its middle to its right end; darker places than 0.5 % of the middle are left out. */
export function coloursAlong({ strip }: BenchPattern): Chromaticity[] {
  const { positions, xyz: film } = strip;
  const found: Chromaticity[] = [];
  for (let i = positions.length >> 1; i < positions.length; i++) {
    const [X, Y, Z] = [film[3 * i], film[3 * i + 1], film[3 * i + 2]];
    if (Y >= 5e-3) found.push([X / (X + Y + Z), Y / (X + Y + Z)]);
  }
  return found;
}

/** Up to here every number of slits is shown while they grow; beyond, numbers that look different. */
const EVERY = 8;

/**
 * The settings while slits are added one by one up to the number that stands on the bench; those that cannot
 * be built are left out.
 *
 * @example growth(startSetting).map(({ slits }) => slits) // [1, 2, 3]
 */
export function growth(setting: BenchSetting): BenchSetting[] {
  const counts: number[] = [];
  for (let count = 1; count < setting.slits; count += count < EVERY ? 1 : Math.ceil(count / 4))
    counts.push(count);
  const settings: BenchSetting[] = [];
  for (const count of counts) {
    try {
      settings.push(changed(setting, { slits: count }));
    } catch {
      // With these errors of ruling that number of slits would meet.
    }
  }
  return [...settings, setting];
}
