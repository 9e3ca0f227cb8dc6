import { unitClass } from './unit-class';
import type { Unit } from './unit-shape';

/** Signs that people type, in the letters that mathjs reads. */
const spelled: readonly (readonly [RegExp, string])[] = [
  [/[−–]/g, '-'],
  [/[µμ](?=[a-z])/g, 'u'],
  [/°/g, ' deg'],
  [/[′']/g, ' arcmin'],
  [/[″"]/g, ' arcsec'],
  [/[\u00c5\u212b]/g, ' angstrom'],
  [/\b(?:lines?|grooves?)\s*\/\s*/g, '/'],
  [/^\s*([-+])\s+(?=[\d.])/, '$1'],
  [/²/g, '^2'],
  [/³/g, '^3'],
];

/**
 * A number with its unit, read from text.
 *
 * @param text such as `0.32 deg`, `550 nm`, `600 /mm`, `300 lines/mm`, `5893 Å`, `20″`
 * @returns a quantity that converts itself: `unit('0.32 deg').toNumber('mrad')`
 * @throws TypeError when text is not text
 * @throws RangeError when the text cannot be read; the message names the part
 * @example unit('0.32 deg').toNumber('rad') // 0.00558505…
 */
export function unit(text: string): Unit {
  if (typeof text !== 'string')
    throw new TypeError(`unit takes text, as in unit('0.32 deg'); it was given a ${typeof text}.`);
  if (/\d\s*,\s*\d/.test(text))
    throw new RangeError(`unit('${text}') has a comma; write decimals with a point, as in 0.32.`);
  if ((text.match(/[°′″'"]/g) ?? []).length > 1)
    throw new RangeError(`For degrees, minutes and seconds use readAngle; unit reads one number.`);
  if (text.includes('%'))
    throw new RangeError(`unit does not read %; answer a question in % with the plain number.`);
  const plain = spelled.reduce((now, [sign, letters]) => now.replace(sign, letters), text);
  try {
    return unitClass().parse(plain.trim().replace(/(\d)\s+1\s*\//, '$1 /'));
  } catch (error) {
    const why = error instanceof Error ? error.message.replace(/\.$/, '') : String(error);
    throw new RangeError(`unit('${text}') cannot be read: ${why}. An example is unit('0.32 deg').`);
  }
}
