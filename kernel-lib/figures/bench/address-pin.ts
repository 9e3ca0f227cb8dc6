import { decoded, readPart, settingNames, writtenPart } from './address-part';
import { checkSetting } from './change';
import type { BenchSetting } from './setting';

/** More strips to compare than this do not fit on any screen. */
export const MOST_PINS = 12;

/** A strip to compare as one part of an address: only what differs from the setting itself. */
export function writePin(pin: BenchSetting, setting: BenchSetting): string {
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
export function readPins(
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
