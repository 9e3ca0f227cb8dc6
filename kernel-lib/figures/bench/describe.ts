import { formatNumber } from '../../quantity/format-number';
import { counted } from '../shown';
import { type NumberName, parameters } from './parameters';
import type { BenchSetting } from './setting';
import { writeValue } from './values';

const value = (setting: BenchSetting, name: NumberName) =>
  writeValue(parameters[name], setting[name]);

/** The light in a few words: `sunlight`, `sodium lamp`, `laser 632.8 nm`. */
export function lightWords(setting: BenchSetting): string {
  const { light } = setting;
  if (light === 'laser') return `laser ${value(setting, 'wavelength')}`;
  const source = { sunlight: 'sunlight', filament: 'filament lamp' }[light as string];
  const band = `${formatNumber(setting.bandCentre * 1e9)} ± ${formatNumber(setting.bandWidth * 0.5e9)} nm`;
  return (source ?? `${light} lamp`) + (setting.filter ? `, ${band}` : '');
}

/** What tells one pattern from another, in few words: `3 slits, 40 µm wide, 100 µm apart`. */
export function apertureWords(setting: BenchSetting): string {
  const apart = setting.slits > 1 ? `, ${value(setting, 'spacing')} apart` : '';
  const flaws = [
    setting.blocked > 0 && `slit ${setting.blocked} blocked`,
    setting.placeError > 0 && setting.slits > 1 && `places off by ${value(setting, 'placeError')}`,
  ].filter(Boolean);
  return [
    `${counted(setting.slits, 'slit')}, ${value(setting, 'width')} wide${apart}`,
    ...flaws,
  ].join(', ');
}
