import { formatNumber } from '../../quantity/format-number';
import { counted } from '../shown';
import { type NumberName, parameters } from './parameters';
import { type BenchSetting, startSetting } from './setting';
import { inUnit, writeValue } from './values';

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
    setting.placeError > 0 &&
      setting.slits > 1 &&
      `places off by ${value(setting, 'placeError')}, ruling ${setting.ruling}`,
  ].filter(Boolean);
  return [
    `${counted(setting.slits, 'slit')}, ${value(setting, 'width')} wide${apart}`,
    ...flaws,
  ].join(', ');
}

/** Whether neighbouring slits touch, so that they are one opening. */
export function touching({ slits, width, spacing }: BenchSetting): boolean {
  return slits > 1 && inUnit(parameters.width, width) >= inUnit(parameters.spacing, spacing);
}

/** What touching slits have become, as a sentence; empty while they stand apart. */
export function touchingWords(setting: BenchSetting): string {
  if (!touching(setting)) return '';
  const { slits, width, blocked, placeError } = setting;
  const wide = writeValue(parameters.width, width);
  if (blocked > 0 || placeError > 0)
    return `The slits touch: each is ${wide} wide and begins where the one beside it ends.`;
  const whole = writeValue(parameters.width, slits * width);
  return `The slits touch: ${slits} of ${wide}, side by side, are one opening ${whole} wide. Make them narrower or move them apart.`;
}

/** Where the camera and the source slit are not as the bench begins, each in words; two patterns that differ differ in some words. */
export function cameraWords(setting: BenchSetting): string[] {
  const other = (name: NumberName) => setting[name] !== startSetting[name];
  return [
    setting.sourceWidth > 0 &&
      `source slit ${value(setting, 'sourceWidth')}, collimator f ${value(setting, 'collimatorFocalLength')}`,
    other('incidence') && `incidence ${value(setting, 'incidence')}`,
    other('focalLength') && `camera f ${value(setting, 'focalLength')}`,
    other('span') && `${value(setting, 'span')} of film`,
    other('exposure') && `exposure ${value(setting, 'exposure')}`,
    setting.scale === 'log' && 'logarithmic',
    setting.absolute && 'absolute',
  ].filter((words) => words !== false);
}
