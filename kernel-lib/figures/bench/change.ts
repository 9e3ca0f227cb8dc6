import { type LampName, lamp } from '../../light/lamp';
import { xyz } from '../../light/xyz';
import { requireKnown, requireOneOf } from '../../numerics/require';
import { formatNumber } from '../../quantity/format-number';
import { apertureOf, lightOf } from './build';
import { isEnd } from './ends';
import {
  type BenchLight,
  type BenchSetting,
  benchLights,
  fromUnits,
  inUnit,
  type NumberName,
  parameters,
  stands,
  startSetting,
  type VernierName,
  verniers,
  within,
} from './setting';

/** Path differences beyond this, m, take the pattern's tables longer to make than a moving slider can wait. */
const FARTHEST = 0.5e-3;

/**
 * A setting as it is kept: every number in its range and cleared of rounding, and all of them together
 * something that can be built.
 *
 * @param setting a whole setting
 * @returns the same setting, checked
 * @throws RangeError, TypeError with a sentence that names the parameter and how to mend it
 */
export function checkSetting(setting: BenchSetting): BenchSetting {
  requireKnown('The bench', setting, Object.keys(startSetting));
  requireLight(setting.light);
  const checked = { ...readInItsLight(setting) };
  for (const name of Object.keys(parameters) as NumberName[])
    checked[name] = within(parameters[name], checked[name]);
  for (const name of ['filter', 'absolute', 'readings'] as const) {
    if (typeof checked[name] !== 'boolean')
      throw new TypeError(`${name} must be true or false, but ${String(checked[name])} was given.`);
  }
  requireOneOf('The scale', checked.scale, ['linear', 'log']);
  requireOneOf('What the light meets', checked.stand, stands);
  requireOneOf('The beam', checked.beam, ['collimator', 'distance']);
  requireOneOf('The vernier', checked.vernier, Object.keys(verniers) as VernierName[]);
  requireBuildable(checked);
  return checked;
}

const requireLight = (light: BenchLight) => requireOneOf('The light', light, benchLights);

function requireBuildable(setting: BenchSetting): void {
  const { slits, width, spacing, blocked } = setting;
  if (slits > 1 && inUnit(parameters.width, width) > inUnit(parameters.spacing, spacing)) {
    const [a, d] = [width, spacing].map((length) => `${formatNumber(length * 1e6)} µm`);
    throw new RangeError(
      `The slits would overlap: ${a} wide, ${d} apart. Make them narrower or move them apart.`,
    );
  }
  if (blocked > slits) {
    throw new RangeError(
      `Slit ${blocked} cannot be blocked: there ${slits === 1 ? 'is only 1' : `are only ${slits}`}.`,
    );
  }
  if (blocked > 0 && slits === 1) {
    throw new RangeError('The only slit cannot be blocked: no light would be left.');
  }
  const aperture = apertureOf(setting);
  lightOf(setting);
  const extent = Math.max(...aperture.slits.map(({ centre }) => Math.abs(centre))) * 2 + width;
  // Of other stands there is no more to draw than positions.
  if (isEnd(setting) && setting.stand !== 'open') return;
  const { focalLength, span, incidence } = setting;
  if (setting.stand === 'open') {
    requirePathsWithin(setting.lensDiameter * Math.sin(Math.atan(span / 2 / focalLength)));
    return;
  }
  const sine = Math.sin(Math.atan(span / 2 / focalLength));
  const farthest = extent * sine * (Math.cos(incidence) + Math.abs(Math.sin(incidence)) * sine);
  requirePathsWithin(farthest);
}

function requirePathsWithin(farthest: number): void {
  if (farthest <= FARTHEST) return;
  throw new RangeError(
    `The strip would hold more fringes than can be drawn: the paths from the outermost edges differ by ${formatNumber(farthest * 1e6, 3)} µm at its ends, and ${FARTHEST * 1e6} µm is the most. Show less film, or take fewer or closer slits, or a smaller opening.`,
  );
}

/** Film shown where nothing but the slit's image is on it, m. */
const SLIT_IMAGE = 1e-3;

/** The parameters that more than one number may follow when they are changed. */
export type Change = Partial<BenchSetting>;

/** What must change of one setting to have another. */
export function changeBetween(before: BenchSetting, after: BenchSetting): Change {
  const names = Object.keys(after) as (keyof BenchSetting)[];
  return Object.fromEntries(
    names.filter((name) => after[name] !== before[name]).map((name) => [name, after[name]]),
  );
}

/**
 * The setting after a change. What belongs together follows: with fewer slits a blocked one that is
 * gone is no longer blocked; another light is read where it is bright: a lamp at its brightest line, behind
 * a filter in the middle of its band.
 *
 * @throws RangeError, TypeError as `checkSetting`; the setting itself stays as it is
 * @example changed(startSetting, { slits: 2 }).slits // 2
 */
export function changed(setting: BenchSetting, change: Change): BenchSetting {
  const next = { ...setting, ...change };
  if (change.slits !== undefined && change.blocked === undefined) {
    if (next.blocked > next.slits || next.slits === 1) next.blocked = 0;
  }
  if (change.span === undefined && next.stand !== setting.stand) {
    // The slit's image is a hundred times finer than the pattern of slits.
    if (next.stand === 'open') next.span = SLIT_IMAGE;
    else if (setting.stand === 'open') next.span = startSetting.span;
  }
  const otherLight = (['light', 'filter', 'bandCentre', 'bandWidth'] as const).some(
    (name) => next[name] !== setting[name],
  );
  if (otherLight && change.reading === undefined) {
    requireLight(next.light);
    next.reading = usualReading(next);
  }
  return checkSetting(next as BenchSetting);
}

/** How far a parameter can be pushed beside the others, SI: where slits touch, or the light ends, the slider ends. */
export function limitsOf(setting: BenchSetting, name: NumberName): [low: number, high: number] {
  const parameter = parameters[name];
  const [low, high] = [parameter.low, parameter.high].map((end) => fromUnits(parameter, end));
  if (name === 'width' && setting.slits > 1) return [low, Math.min(high, setting.spacing)];
  if (name === 'spacing' && setting.slits > 1) return [Math.max(low, setting.width), high];
  if (name === 'reading') {
    const has = readable(setting);
    return 'lines' in has ? [Math.min(...has.lines), Math.max(...has.lines)] : [...has];
  }
  if (name === 'blocked') return [0, setting.slits === 1 ? 0 : setting.slits];
  return [low, high];
}

/** The wavelengths, m, at which the light of a setting can be read: lines, or all from one to another. */
type Readable = { readonly lines: readonly number[] } | readonly [from: number, to: number];

/** Which wavelengths the light of a setting has: the laser's, a lamp's lines, the filter's band, or all that are seen. */
export function readable(setting: BenchSetting): Readable {
  const { light, filter, bandCentre, bandWidth } = setting;
  if (light === 'laser') return { lines: [setting.wavelength] };
  if (light === 'filament' || light === 'sunlight') {
    if (!filter) return [LOW, HIGH];
    return [Math.max(LOW, bandCentre - bandWidth / 2), Math.min(HIGH, bandCentre + bandWidth / 2)];
  }
  return { lines: brightLines(setting).map(({ wavelength }) => wavelength) };
}

/** Of a lamp as many lines, and of white light these wavelengths, m, have their orders shown together. */
const TOGETHER = 4;
const ofWhite = [450e-9, 550e-9, 650e-9];

/** Wavelengths of a setting's light whose orders are worth seeing side by side: its brightest lines, or some along its band. */
export function shownWavelengths(setting: BenchSetting): number[] {
  const has = readable(setting);
  if ('lines' in has) {
    const bright = brightLines(setting).sort((a, b) => b.Y - a.Y);
    return bright
      .slice(0, TOGETHER)
      .map(({ wavelength }) => wavelength)
      .sort((a, b) => a - b);
  }
  const [from, to] = has;
  return setting.filter ? [from, (from + to) / 2, to] : ofWhite;
}

/** The setting read at a wavelength that its light has: a lamp at the line nearest by, another light where it usually is. */
function readInItsLight(setting: BenchSetting): BenchSetting {
  if (setting.light === 'laser') return setting;
  const has = readable(setting);
  if (!('lines' in has)) {
    const [from, to] = has;
    const within = setting.reading >= from - 1e-15 && setting.reading <= to + 1e-15;
    return within || !Number.isFinite(setting.reading)
      ? setting
      : { ...setting, reading: usualReading(setting) };
  }
  const { lines } = has;
  if (lines.length === 0 || !Number.isFinite(setting.reading)) return setting;
  const off = (line: number) => Math.abs(line - setting.reading);
  const reading = lines.reduce((best, line) => (off(line) < off(best) ? line : best));
  return { ...setting, reading };
}

/** The wavelength that a light is read at unless another is chosen: a lamp's brightest line, a filter's middle, else green. */
function usualReading(setting: BenchSetting): number {
  const { light, filter, bandCentre } = setting;
  // A laser is read at its own wavelength, whatever stands here.
  if (light === 'laser') return startSetting.reading;
  if (light === 'filament' || light === 'sunlight')
    return filter ? bandCentre : startSetting.reading;
  const lines = brightLines(setting);
  // A filter that no line passes is refused for that elsewhere.
  if (lines.length === 0) return bandCentre;
  return lines.reduce((best, line) => (line.Y > best.Y ? line : best)).wavelength;
}

/** Weaker lines than this share of the brightest, to the eye, are passed over. */
const FAINT = 1e-4;

const [LOW, HIGH] = [parameters.reading.low, parameters.reading.high].map((end) =>
  fromUnits(parameters.reading, end),
);

interface BrightLine {
  readonly wavelength: number;
  /** Share of the lamp's brightness to the eye. */
  readonly Y: number;
}

/** Lines that pass the filter, if there is one, and are bright enough to be seen. */
function brightLines({ light, filter, bandCentre, bandWidth }: BenchSetting): BrightLine[] {
  if (light === 'filament' || light === 'sunlight' || light === 'laser') return [];
  // As `passband` has it, a filter's edges end at 0.6 of its width from the middle.
  const seen = linesOf(light).filter(
    ({ wavelength }) => !filter || Math.abs(wavelength - bandCentre) < 0.6 * bandWidth,
  );
  const most = Math.max(...seen.map(({ Y }) => Y));
  return seen.filter(({ Y }) => Y >= FAINT * most);
}

const known = new Map<LampName, readonly BrightLine[]>();

/** A lamp's lines within what can be read, by wavelength as the bench keeps it. */
function linesOf(name: LampName): readonly BrightLine[] {
  const kept = known.get(name);
  if (kept) return kept;
  const source = lamp(name);
  const lines = (source.lines ?? [])
    .map((line) => ({
      wavelength: fromUnits(parameters.reading, inUnit(parameters.reading, line.wavelength)),
      Y: xyz({ name: 'one line', lines: [line] }, { relativeTo: source })[1],
    }))
    .filter(({ wavelength }) => wavelength >= LOW && wavelength <= HIGH);
  known.set(name, lines);
  return lines;
}
