import { type LampName, lamp } from '../../light/lamp';
import { xyz } from '../../light/xyz';
import { parameters } from './parameters';
import { type BenchSetting, startSetting } from './setting';
import { fromUnits, inUnit } from './values';

/** The wavelengths, m, at which the light of a setting can be read: lines, or all from one to another. */
export type Readable = { readonly lines: readonly number[] } | readonly [from: number, to: number];

/** Weaker lines than this share of the brightest, to the eye, are passed over. */
const FAINT = 1e-4;
const [LOW, HIGH] = [parameters.reading.low, parameters.reading.high].map((end) =>
  fromUnits(parameters.reading, end),
);

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

/** The wavelength that a light is read at unless another is chosen: a lamp's brightest line, a filter's middle, else green. */
export function usualReading(setting: BenchSetting): number {
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

/** The setting read at a wavelength that its light has: a lamp at the line nearest by, another light where it usually is. */
export function readInItsLight(setting: BenchSetting): BenchSetting {
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
