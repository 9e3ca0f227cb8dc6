import { formatNumber } from '../../quantity/format-number';
import { apertureOf, lightOf } from './build';
import { type NumberName, parameters } from './parameters';
import { readable, readInItsLight, usualReading } from './readable';
import { type BenchLight, type BenchSetting, benchLights, startSetting } from './setting';
import { fromUnits, inUnit, within } from './values';

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
  const stranger = Object.keys(setting).find((name) => !Object.hasOwn(startSetting, name));
  if (stranger !== undefined) {
    throw new TypeError(
      `The bench has no parameter ${stranger}. It has ${Object.keys(startSetting).join(', ')}.`,
    );
  }
  requireLight(setting.light);
  const checked = { ...readInItsLight(setting) };
  for (const name of Object.keys(parameters) as NumberName[])
    checked[name] = within(parameters[name], checked[name]);
  for (const name of ['filter', 'absolute'] as const) {
    if (typeof checked[name] !== 'boolean')
      throw new TypeError(`${name} must be true or false, but ${String(checked[name])} was given.`);
  }
  if (checked.scale !== 'linear' && checked.scale !== 'log')
    throw new RangeError(
      `The scale must be 'linear' or 'log', but ${JSON.stringify(checked.scale)} was given.`,
    );
  requireBuildable(checked);
  return checked;
}

function requireLight(light: BenchLight): void {
  if (benchLights.includes(light)) return;
  const names = benchLights.map((name) => `'${name}'`).join(', ');
  throw new RangeError(`There is no light ${JSON.stringify(light)} here: choose one of ${names}.`);
}

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
  const { focalLength, span, incidence } = setting;
  const sine = Math.sin(Math.atan(span / 2 / focalLength));
  const farthest = extent * sine * (Math.cos(incidence) + Math.abs(Math.sin(incidence)) * sine);
  if (farthest <= FARTHEST) return;
  throw new RangeError(
    `The strip would hold more fringes than can be drawn: the paths of the outermost slits differ by ${formatNumber(farthest * 1e6, 3)} µm at its ends, and ${FARTHEST * 1e6} µm is the most. Show less film, or take fewer or closer slits.`,
  );
}

/** The parameters that more than one number may follow when they are changed. */
export type Change = Partial<BenchSetting>;

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
