import { type NumberName, parameters } from './parameters';
import { type BenchSetting, startSetting } from './setting';
import { inUnit, readValue } from './values';

const asciiUnits = { nm: 'nm', um: 'um', mm: 'mm', deg: '', '×': '', '1': '' } as const;
const isNumber = (name: string): name is NumberName => Object.hasOwn(parameters, name);

/** The names of a setting's parameters, in the order in which they are written. */
export const settingNames = Object.keys(startSetting) as (keyof BenchSetting)[];

/** A parameter's value with its unit, in letters that an address may hold. */
export function writtenPart(setting: BenchSetting, name: keyof BenchSetting): string {
  if (!isNumber(name)) return String(setting[name]);
  const parameter = parameters[name];
  return inUnit(parameter, setting[name]) + asciiUnits[parameter.unit];
}

/** One parameter and its value; a sentence where they are none. `sign` stands between them. */
export function readPart(part: string, sign: '=' | ':'): [keyof BenchSetting, unknown] {
  const [name, text = ''] = part.split(sign, 2).map(decoded);
  if (isNumber(name)) return [name, readValue(parameters[name], text)];
  if ((name === 'filter' || name === 'absolute') && /^(true|false)$/.test(text))
    return [name, text === 'true'];
  if (name === 'light' || name === 'scale') return [name, text];
  throw new RangeError(`"${part.slice(0, 60)}" in the link is no parameter of the bench.`);
}

/** Text from an address; as it is where it was damaged. */
export function decoded(text: string): string {
  try {
    return decodeURIComponent(text.replace(/\+/g, ' '));
  } catch {
    return text;
  }
}
