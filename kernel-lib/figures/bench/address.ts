import { changed, checkSetting } from './change';
import {
  type BenchSetting,
  inUnit,
  type NumberName,
  parameters,
  readValue,
  startSetting,
} from './setting';

/**
 * A setting as the part of an address behind `#`: every parameter by name, with its unit; then a part
 * `pin=slits:2,width:20um` for each strip that is kept for comparison, with what differs there.
 *
 * @example writeAddress(startSetting).slice(0, 40) // 'light=filament&wavelength=632.8nm&filter'
 */
export function writeAddress(setting: BenchSetting, pins: readonly BenchSetting[] = []): string {
  return [
    ...settingNames
      .filter((name) => !isOfAnotherStand(name) || setting[name] !== startSetting[name])
      .map((name) => `${name}=${writtenPart(setting, name)}`),
    ...pins.map((pin) => writePin(pin, setting)),
  ].join('&');
}

/** What an address said, as far as it could be understood. */
interface ReadAddress {
  readonly setting: BenchSetting;
  /** Strips to compare, in their order. */
  readonly pins: readonly BenchSetting[];
  /** A sentence for each part that was passed over. */
  readonly faults: readonly string[];
}

/**
 * A setting from an address. Parameters that are not named begin as they always do; parts that cannot
 * be read are passed over and told of.
 *
 * @param address what stands behind `#`, with or without it
 * @example readAddress('#slits=2&width=20um').setting.slits // 2
 */
export function readAddress(address: string): ReadAddress {
  const faults: string[] = [];
  const change: Record<string, unknown> = {};
  const texts: string[] = [];
  for (const part of address.replace(/^#/, '').split('&')) {
    if (part === '') continue;
    if (part.startsWith('pin=')) {
      texts.push(part.slice('pin='.length));
      continue;
    }
    try {
      const [name, value] = readPart(part, '=');
      change[name] = value;
    } catch (error) {
      faults.push((error as Error).message);
    }
  }
  const setting = together(change, faults);
  const { pins, faults: more } = readPins(texts, setting);
  return { setting, pins, faults: [...faults, ...more] };
}

/** The setting with all changes; where it cannot be built, with those that can, one after the other. */
function together(change: Record<string, unknown>, faults: string[]): BenchSetting {
  try {
    return changed(startSetting, change);
  } catch (error) {
    faults.push((error as Error).message);
  }
  let setting = startSetting;
  for (const [name, value] of Object.entries(change)) {
    try {
      setting = changed(setting, { [name]: value });
    } catch {
      // The fault was told of above.
    }
  }
  return setting;
}

const asciiUnits = { nm: 'nm', um: 'um', mm: 'mm', deg: '', '×': '', '1': '', '/mm': '' } as const;
const isNumber = (name: string): name is NumberName => Object.hasOwn(parameters, name);

/** The names of a setting's parameters, in the order in which they are written. */
const settingNames = Object.keys(startSetting) as (keyof BenchSetting)[];

/** What other stands than slits and film have is left out of addresses where it is as it begins. */
const isOfAnotherStand = (name: keyof BenchSetting) =>
  settingNames.indexOf(name) >= settingNames.indexOf('stand');

/** A parameter's value with its unit, in letters that an address may hold. */
function writtenPart(setting: BenchSetting, name: keyof BenchSetting): string {
  if (!isNumber(name)) return String(setting[name]);
  const parameter = parameters[name];
  return inUnit(parameter, setting[name]) + asciiUnits[parameter.unit];
}

/** Parameters that are words. */
const words = ['light', 'scale', 'stand', 'beam', 'vernier'];

/** One parameter and its value; a sentence where they are none. `sign` stands between them. */
function readPart(part: string, sign: '=' | ':'): [keyof BenchSetting, unknown] {
  const [name, text = ''] = part.split(sign, 2).map(decoded);
  if (isNumber(name)) return [name, readValue(parameters[name], text)];
  if (
    (name === 'filter' || name === 'absolute' || name === 'readings') &&
    /^(true|false)$/.test(text)
  )
    return [name, text === 'true'];
  if (words.some((word) => word === name)) return [name as keyof BenchSetting, text];
  throw new RangeError(`"${part.slice(0, 60)}" in the link is no parameter of the bench.`);
}

/** Text from an address; as it is where it was damaged. */
function decoded(text: string): string {
  try {
    return decodeURIComponent(text.replace(/\+/g, ' '));
  } catch {
    return text;
  }
}

/** More strips to compare than this do not fit on any screen. */
export const MOST_PINS = 12;

/** A strip to compare as one part of an address: only what differs from the setting itself. */
function writePin(pin: BenchSetting, setting: BenchSetting): string {
  const parts = settingNames
    .filter((name) => pin[name] !== setting[name])
    .map((name) => `${name}:${writtenPart(pin, name)}`);
  return `pin=${parts.join(',')}`;
}

/**
 * The strips to compare of an address.
 *
 * @param texts what stands behind each `pin=`
 * @param setting what they differ from
 * @returns those that can be built, and a sentence for each that cannot
 */
function readPins(
  texts: readonly string[],
  setting: BenchSetting,
): { pins: BenchSetting[]; faults: string[] } {
  const pins: BenchSetting[] = [];
  const faults: string[] = [];
  for (const [i, text] of texts.slice(0, MOST_PINS).entries()) {
    try {
      const parts = decoded(text).split(',');
      const named = parts.filter((part) => part !== '').map((part) => readPart(part, ':'));
      pins.push(checkSetting({ ...setting, ...Object.fromEntries(named) }));
    } catch (error) {
      faults.push(`Strip ${i + 1} to compare is left out. ${(error as Error).message}`);
    }
  }
  if (texts.length > MOST_PINS)
    faults.push(
      `The link has ${texts.length} strips to compare; the first ${MOST_PINS} are shown.`,
    );
  return { pins, faults };
}
