import { changed } from './change';
import { type NumberName, parameters } from './parameters';
import { type BenchSetting, startSetting } from './setting';
import { inUnit, readValue } from './values';

const asciiUnits = { nm: 'nm', um: 'um', mm: 'mm', deg: '', '×': '', '1': '' } as const;
const isNumber = (name: string): name is NumberName => Object.hasOwn(parameters, name);

/**
 * A setting as the part of an address behind `#`: every parameter by name, with its unit.
 *
 * @example writeAddress(startSetting).slice(0, 40) // 'light=sunlight&wavelength=632.8nm&filter'
 */
export function writeAddress(setting: BenchSetting): string {
  return (Object.keys(startSetting) as (keyof BenchSetting)[])
    .map((name) => `${name}=${isNumber(name) ? written(name, setting[name]) : setting[name]}`)
    .join('&');
}

function written(name: NumberName, value: number): string {
  const parameter = parameters[name];
  return inUnit(parameter, value) + asciiUnits[parameter.unit];
}

/** What an address said, as far as it could be understood. */
export interface ReadAddress {
  readonly setting: BenchSetting;
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
  for (const part of address.replace(/^#/, '').split('&')) {
    if (part === '') continue;
    try {
      const [name, value] = readPart(part);
      change[name] = value;
    } catch (error) {
      faults.push((error as Error).message);
    }
  }
  try {
    return { setting: changed(startSetting, change), faults };
  } catch (error) {
    faults.push((error as Error).message);
  }
  // Together they cannot be built: take what can be, one after the other.
  let setting = startSetting;
  for (const [name, value] of Object.entries(change)) {
    try {
      setting = changed(setting, { [name]: value });
    } catch {
      // The fault was told of above.
    }
  }
  return { setting, faults };
}

function readPart(part: string): [keyof BenchSetting, unknown] {
  const [name, text = ''] = part.split('=', 2).map(decoded);
  if (isNumber(name)) return [name, readValue(parameters[name], text)];
  if (name === 'filter' && /^(true|false)$/.test(text)) return [name, text === 'true'];
  if (name === 'light' || name === 'scale') return [name, text];
  throw new RangeError(`"${part.slice(0, 60)}" in the link is no parameter of the bench.`);
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text.replace(/\+/g, ' '));
  } catch {
    return text;
  }
}
