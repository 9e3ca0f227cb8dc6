import { readPart, settingNames, writtenPart } from './address-part';
import { readPins, writePin } from './address-pin';
import { changed } from './change';
import { type BenchSetting, startSetting } from './setting';

/**
 * A setting as the part of an address behind `#`: every parameter by name, with its unit; then a part
 * `pin=slits:2,width:20um` for each strip that is kept for comparison, with what differs there.
 *
 * @example writeAddress(startSetting).slice(0, 40) // 'light=filament&wavelength=632.8nm&filter'
 */
export function writeAddress(setting: BenchSetting, pins: readonly BenchSetting[] = []): string {
  return [
    ...settingNames.map((name) => `${name}=${writtenPart(setting, name)}`),
    ...pins.map((pin) => writePin(pin, setting)),
  ].join('&');
}

/** What an address said, as far as it could be understood. */
export interface ReadAddress {
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
