import { exposureOf, grainOf, readingOf } from './build';
import { type NumberName, parameters } from './parameters';
import { type BenchSetting, startSetting } from './setting';
import { inUnit } from './values';

/** Numbers that a reader wants to see even where they are as the bench begins. */
const always: readonly (keyof BenchSetting)[] = [
  'light',
  'slits',
  'width',
  'spacing',
  'focalLength',
];

/** A value as it is written in a cell: `um(40)`, `degrees(5)`, `3`, `'sunlight'`. */
function literal(setting: BenchSetting, name: keyof BenchSetting): string {
  const value = setting[name];
  if (typeof value === 'string') return `'${value}'`;
  if (typeof value === 'boolean') return String(value);
  const parameter = parameters[name as NumberName];
  const number = inUnit(parameter, value);
  const helper = { nm: 'nm', um: 'um', mm: 'mm', deg: 'degrees', '×': '', '1': '' }[parameter.unit];
  return helper && number !== 0 ? `${helper}(${number})` : String(number);
}

/** `import` for the names that a piece of code calls. */
function withImport(code: string): string {
  const called = new Set([...code.matchAll(/(?<![.'\w])([a-z]\w*)\(/gi)].map((match) => match[1]));
  return `import { ${[...called].sort().join(', ')} } from 'multislit';\n${code}`;
}

/**
 * Code for a cell that shows the bench in this setting.
 *
 * @example liveCode(startSetting).split('\n')[0] // "import { live, mm, um } from 'multislit';"
 */
export function liveCode(setting: BenchSetting): string {
  const told = (Object.keys(startSetting) as (keyof BenchSetting)[]).filter(
    (name) => always.includes(name) || setting[name] !== startSetting[name],
  );
  const parts = told.map((name) => `${name}: ${literal(setting, name)}`);
  return withImport(`live({ ${parts.join(', ')} })`);
}

/**
 * Code for a cell that computes the film strip of this setting and shows it.
 *
 * @example stripCode(startSetting).includes('filmStrip(slits(3,') // true
 */
export function stripCode(setting: BenchSetting): string {
  const camera = (['focalLength', 'span', 'scale', 'sourceWidth', 'incidence'] as const)
    .filter((name) => name === 'focalLength' || name === 'span' || differs(setting, name))
    .map((name) => `${name}: ${literal(setting, name)}`);
  const exposure = exposureOf(setting);
  if (exposure !== 1) camera.push(`exposure: ${exposure}`);
  // Without it the camera's focal length would be taken.
  if (setting.sourceWidth > 0)
    camera.push(`collimatorFocalLength: ${literal(setting, 'collimatorFocalLength')}`);
  const grain = grainOf(setting);
  if (grain > 0) camera.push(`filmBlur: um(${Number((grain * 1e6).toPrecision(6))})`);
  return withImport(
    `filmStripPicture(filmStrip(${apertureCode(setting)}, ${lightCode(setting)}, { ${camera.join(', ')} }))`,
  );
}

const differs = (setting: BenchSetting, name: keyof BenchSetting) =>
  setting[name] !== startSetting[name];

function apertureCode(setting: BenchSetting): string {
  const of = (name: keyof BenchSetting) => literal(setting, name);
  const spacing = setting.slits > 1 ? `, spacing: ${of('spacing')}` : '';
  let code = `slits(${setting.slits}, { width: ${of('width')}${spacing} })`;
  if (setting.placeError > 0 && setting.slits > 1)
    code = `withRulingErrors(${code}, { seed: ${setting.ruling}, place: ${of('placeError')} })`;
  return setting.blocked > 0 ? `blocked(${code}, ${setting.blocked - 1})` : code;
}

function lightCode(setting: BenchSetting): string {
  const { light } = setting;
  if (light === 'laser')
    return `laser(${literal({ ...setting, reading: readingOf(setting) }, 'reading')})`;
  const source =
    light === 'sunlight'
      ? 'sunlight()'
      : light === 'filament'
        ? "illuminant('A')"
        : `lamp('${light}')`;
  if (!setting.filter) return source;
  return `filtered(${source}, passband(${literal(setting, 'bandCentre')}, ${literal(setting, 'bandWidth')}))`;
}
