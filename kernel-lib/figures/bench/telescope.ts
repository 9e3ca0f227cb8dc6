import type { FilmStrip } from '../../camera/film';
import { type TelescopeView, telescopeView } from '../../camera/telescope-view';
import { darkLines, sunlightWithDarkLines } from '../../light/dark-lines';
import { filtered, passband } from '../../light/filtered';
import type { Light } from '../../light/light';
import { writeAngle } from '../../quantity/angle';
import { formatNumber } from '../../quantity/format-number';
import { dividedCircle, readCircle, type VernierPair } from '../../spectrometer/divided-circle';
import { gratingAngle, gratingOrders } from '../../spectrometer/grating';
import { lightOf, readingOf } from './build';
import { type BenchSetting, parameters, startSetting, verniers, within } from './setting';

/** What the bench shows of a spectrometer for a setting. */
export interface BenchTelescope {
  readonly setting: BenchSetting;
  readonly view: TelescopeView;
  /** Lines within the field, from left to right. */
  readonly lines: readonly SeenLine[];
  /** Where the verniers' zeros stand, not rounded, rad. */
  readonly stands: VernierPair;
  /** What both verniers read, to their least count, rad. */
  readonly reads: VernierPair;
}

/** The field as a strip, along the angle from the straight beam, for a picture of it that stays. */
export function fieldStrip(setting: BenchSetting): FilmStrip {
  const seen = benchTelescope(setting);
  const { angles, xyz, srgb, burntOut } = seen.view;
  const total = xyz.filter((_, i) => i % 3 === 1);
  const most = total.reduce((a, b) => Math.max(a, b), 0) || 1;
  return {
    ...{ positions: angles, s: angles.map(Math.sin), xyz, srgb, burntOut },
    total: total.map((value) => value / most),
    alt: fieldWords(seen),
  };
}

/** A bright or dark line where it is seen. */
export interface SeenLine {
  readonly label: string;
  readonly wavelength: number;
  readonly order: number;
  /** Direction from the straight beam, rad. */
  readonly angle: number;
  /** Brightness to the eye among its fellows; of a dark line its width. */
  readonly weight: number;
}

/**
 * The eyepiece's field and both verniers of a setting.
 *
 * @throws RangeError as `telescopeView`
 * @example benchTelescope({ ...startSetting, light: 'sodium', telescope: 0.3615 }).lines[0].order // 1
 */
export function benchTelescope(setting: BenchSetting): BenchTelescope {
  const { telescope, field, sourceWidth, collimatorFocalLength, incidence, exposure } = setting;
  const view = telescopeView(lightBehind(setting), {
    ...{ spacing: spacingOf(setting), lines: setting.ruled, telescope, field, incidence },
    ...{ sourceWidth, collimatorFocalLength, exposure },
  });
  const circle = {
    zero: setting.circleZero,
    eccentricity: setting.eccentricity,
    offsetDirection: setting.offCentre,
  };
  return {
    setting,
    view,
    lines: linesWithin(setting),
    // A least count of which nothing is seen.
    stands: readCircle(dividedCircle({ ...circle, leastCount: 1e-10 }), telescope),
    reads: readCircle(
      dividedCircle({ ...circle, leastCount: verniers[setting.vernier] }),
      telescope,
    ),
  };
}

const spacingOf = ({ linesPerMm }: BenchSetting) => 1e-3 / linesPerMm;

let last: { key: string; light: Light } | undefined;

/** The light of a setting; sunlight with lines that a spectrometer resolves. */
function lightBehind(setting: BenchSetting): Light {
  if (setting.light !== 'sunlight') return lightOf(setting);
  const { filter, bandCentre, bandWidth } = setting;
  const key = String(filter && [bandCentre, bandWidth]);
  if (last?.key !== key) {
    const sun = sunlightWithDarkLines();
    last = { key, light: filter ? filtered(sun, passband(bandCentre, bandWidth)) : sun };
  }
  return last.light;
}

function linesWithin(setting: BenchSetting): SeenLine[] {
  const { telescope, field, incidence } = setting;
  const spacing = spacingOf(setting);
  const seen: SeenLine[] = [];
  for (const { wavelength, label, weight } of namedLines(setting)) {
    const { lowest, highest } = gratingOrders(wavelength, spacing, incidence);
    for (let order = lowest; order <= highest; order++) {
      if (order === 0) continue;
      const angle = gratingAngle(order, wavelength, spacing, incidence) - incidence;
      if (Math.abs(angle - telescope) < field / 2)
        seen.push({ label, wavelength, order, angle, weight });
    }
  }
  return seen.sort((a, b) => a.angle - b.angle);
}

type NamedLine = Pick<SeenLine, 'label' | 'wavelength' | 'weight'>;

/** Lines that have a name: those of a lamp, or the dark ones of sunlight, as far as the filter lets them through. */
function namedLines(setting: BenchSetting): NamedLine[] {
  const { light, filter, bandCentre, bandWidth } = setting;
  if (light === 'sunlight') {
    return darkLines()
      .filter(({ wavelength }) => !filter || Math.abs(wavelength - bandCentre) < 0.6 * bandWidth)
      .map(({ name, species, wavelength, width }) => ({
        label: name ? `${name}, ${species}` : species,
        wavelength,
        weight: width,
      }));
  }
  return (lightOf(setting).lines ?? []).map(({ wavelength, power, label = '' }) => ({
    label: label.replace(/ [\d.]+ nm$/, ''),
    wavelength,
    weight: power,
  }));
}

/** Orders that the telescope can be turned to at the wavelength that is read, with the setting that does so. */
export function ordersToSet(
  setting: BenchSetting,
): { readonly order: number; readonly telescope: number }[] {
  const { incidence } = setting;
  const [wavelength, spacing] = [readingOf(setting), spacingOf(setting)];
  const { lowest, highest } = gratingOrders(wavelength, spacing, incidence);
  const low = Math.max(lowest, -MOST_ORDERS);
  const high = Math.min(highest, MOST_ORDERS);
  return Array.from({ length: high - low + 1 }, (_, i) => {
    const order = low + i;
    const angle = gratingAngle(order, wavelength, spacing, incidence) - incidence;
    return { order, telescope: fine(angle) };
  });
}

const MOST_ORDERS = 4;

/** A direction as a slow-motion screw sets it: within a millionth of a degree, so that links stay short. */
export function fine(angle: number): number {
  const degrees = Number(((angle * 180) / Math.PI).toFixed(6));
  return within(parameters.telescope, (degrees * Math.PI) / 180);
}

/**
 * Whether the two lines nearest to the cross-wire stand apart, by what is seen between them, and the grating's own
 * measure of that; empty where there are no two.
 */
export function pairWords({ setting, view, lines }: BenchTelescope): {
  readonly what: string;
  readonly measure: string;
} {
  const most = Math.max(...lines.map(({ weight }) => weight));
  const bright = lines.filter(({ weight }) => weight >= 0.02 * most);
  if (bright.length < 2) return { what: '', measure: '' };
  const off = (i: number) =>
    Math.abs((bright[i].angle + bright[i + 1].angle) / 2 - setting.telescope);
  const pairs = bright.slice(1).map((_, i) => i);
  const i = pairs.reduce((best, one) => (off(one) < off(best) ? one : best));
  const [left, right] = [bright[i], bright[i + 1]];
  const apart = writeAngle(right.angle - left.angle, 'arcsecond').replace(/^0° 0?/, '');
  const nm = ({ wavelength }: SeenLine) => (wavelength * 1e9).toFixed(2);
  const isOne = left.order === right.order;
  const named = isOne
    ? `${nm(left)} and ${nm(right)} nm in order ${left.order}`
    : `${nm(left)} nm in order ${left.order} and ${nm(right)} nm in order ${right.order}`;
  const head = `${named.replace(/-/g, '−')}: ${apart} apart.`;
  if (setting.light === 'sunlight') return { what: head, measure: '' };
  const filled = filledBetween(view, left.angle, right.angle);
  const what =
    filled < DIPS
      ? `${head} Two lines: between them ${formatNumber(100 * filled, 2)} % of the fainter one’s brightness.`
      : `${head} They run into one: no darker place between them.`;
  if (!isOne) return { what, measure: '' };
  const needed = left.wavelength / Math.abs(right.wavelength - left.wavelength);
  const has = Math.abs(left.order) * setting.ruled;
  const measure = `To tell them apart takes λ / Δλ = ${formatNumber(needed, 3)}; the grating has m N = ${formatNumber(has)}, and a broad source slit leaves less.`;
  return { what, measure };
}

/** A dip to less than this share of the fainter line is seen by an eye (common practice, no source). */
const DIPS = 0.98;

/** The darkest place between two directions, as a share of the fainter of the two. */
function filledBetween({ angles, xyz }: TelescopeView, left: number, right: number): number {
  const step = angles[1] - angles[0];
  const at = (angle: number) =>
    Math.min(angles.length - 1, Math.max(0, Math.round((angle - angles[0]) / step)));
  let least = Number.POSITIVE_INFINITY;
  for (let i = at(left); i <= at(right); i++) least = Math.min(least, xyz[3 * i + 1]);
  return least / Math.min(xyz[3 * at(left) + 1], xyz[3 * at(right) + 1]);
}

/** The eyepiece's field in one sentence that gives no reading away. */
export function fieldWords({ lines, setting }: BenchTelescope): string {
  const field = formatNumber((setting.field * 180) / Math.PI, 3);
  const what =
    setting.light === 'sunlight' || setting.light === 'filament' ? 'A band of colours' : 'Darkness';
  const most = setting.light === 'sunlight' ? 'dark' : 'bright';
  const named = lines.map(({ label, order }) => `${label} in order ${order}`).slice(0, 12);
  const count = lines.length === 0 ? 'no line with a name' : `${most} lines ${named.join('; ')}`;
  return `The field of the telescope, ${field}° across, with a cross-wire in its middle. ${what} with ${count}.`;
}

/** Whether two settings differ in nothing but the spectrometer that is looked through: the film is not seen then, and stays. */
export function isSameFilm(one: BenchSetting, other: BenchSetting): boolean {
  const names = Object.keys(startSetting) as (keyof BenchSetting)[];
  const ofFilm = names.slice(0, names.indexOf('stand') + 1);
  return one.stand === 'spectrometer' && ofFilm.every((name) => one[name] === other[name]);
}
