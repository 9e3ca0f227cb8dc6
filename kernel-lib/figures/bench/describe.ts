import { formatNumber } from '../../quantity/format-number';
import { counted } from '../shown';
import { exposureOf, grainOf, readingOf } from './build';
import { changed } from './change';
import { isEnd } from './ends';
import {
  type BenchSetting,
  inUnit,
  type NumberName,
  parameters,
  startSetting,
  writeValue,
} from './setting';

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
  if (setting.stand === 'spectrometer') return gratingWords(setting);
  if (setting.stand === 'open') return `no obstacle, a lens ${value(setting, 'lensDiameter')} open`;
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
function touching({ slits, width, spacing }: BenchSetting): boolean {
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
  if (setting.stand === 'spectrometer') return spectrometerWords(setting);
  const other = (name: NumberName) => setting[name] !== startSetting[name];
  const isBehindLens = setting.beam === 'collimator' || setting.stand === 'open';
  return [
    setting.sourceWidth > 0 && `source slit ${value(setting, 'sourceWidth')}`,
    !isBehindLens && `source at ${value(setting, 'sourceDistance')} without a lens`,
    setting.stand === 'screen' && `screen at ${value(setting, 'screenDistance')}`,
    setting.stand === 'open' &&
      setting.blur > 0 &&
      `film running together over ${value(setting, 'blur')}`,
    setting.sourceWidth > 0 &&
      isBehindLens &&
      other('collimatorFocalLength') &&
      `collimator f ${value(setting, 'collimatorFocalLength')}`,
    other('incidence') && `incidence ${value(setting, 'incidence')}`,
    other('focalLength') && `camera f ${value(setting, 'focalLength')}`,
    other('span') && `${value(setting, 'span')} of ${setting.stand === 'screen' ? 'it' : 'film'}`,
    other('exposure') && `exposure ${value(setting, 'exposure')}`,
    setting.scale === 'log' && 'logarithmic',
    setting.absolute && 'absolute',
  ].filter((words) => words !== false);
}

/** What stands on the spectrometer's table, in few words. */
function gratingWords({ linesPerMm, ruled }: BenchSetting): string {
  const wide = formatNumber(ruled / linesPerMm, 3);
  return `grating of ${linesPerMm} lines per mm, ${ruled} of them (${wide} mm) in the beam`;
}

/** The slit, and how the grating stands; where the telescope looks is for the verniers to say. */
function spectrometerWords(setting: BenchSetting): string[] {
  return [
    setting.sourceWidth > 0 &&
      `source slit ${value(setting, 'sourceWidth')} before f ${value(setting, 'collimatorFocalLength')}`,
    setting.incidence !== 0 && `incidence ${value(setting, 'incidence')}`,
    setting.exposure !== 1 && `exposure ${value(setting, 'exposure')}`,
  ].filter((words) => words !== false);
}

type ChoiceName = 'stand' | 'light' | 'beam' | 'vernier' | 'scale';

/** What can be chosen on the bench: what is asked, and each answer in words, in their order. */
export const choices: {
  readonly [Name in ChoiceName]: {
    readonly label: string;
    readonly words: Readonly<Record<BenchSetting[Name], string>>;
  };
} = {
  stand: {
    label: 'In the light',
    words: {
      film: 'slits, and film behind a lens',
      screen: 'slits, and a screen without a lens',
      open: 'no obstacle: the slit’s image',
      spectrometer: 'a grating in a spectrometer',
    },
  },
  light: {
    label: 'Source',
    words: {
      filament: 'Filament lamp',
      sunlight: 'Sunlight',
      sodium: 'Sodium lamp',
      mercury: 'Mercury lamp',
      cadmium: 'Cadmium lamp',
      helium: 'Helium lamp',
      hydrogen: 'Hydrogen lamp',
      laser: 'Laser',
    },
  },
  beam: {
    label: 'Parallel by',
    words: { collimator: 'a lens, the collimator', distance: 'distance alone' },
  },
  vernier: {
    label: 'Verniers, to',
    words: { '1min': '1′', '30sec': '30″', '20sec': '20″', '10sec': '10″' },
  },
  scale: {
    label: 'Brightness',
    words: { linear: 'linear', log: 'logarithmic, 4 decades' },
  },
};

const switches = {
  filter: 'Filter',
  absolute: 'Absolute brightness',
  readings: 'Tell the readings:',
} as const;

/** A parameter and its value in words: `Spacing 160 µm`, `Filter on`, `Parallel by: distance alone`. */
function saidValue(setting: BenchSetting, name: keyof BenchSetting): string {
  if (name === 'light') return `Light: ${lightWords(setting)}`;
  if (name === 'filter' || name === 'absolute' || name === 'readings')
    return `${switches[name]} ${setting[name] ? 'on' : 'off'}`;
  if (name === 'stand' || name === 'beam' || name === 'vernier' || name === 'scale') {
    const words: Readonly<Record<string, string>> = choices[name].words;
    return `${choices[name].label}: ${words[setting[name]]}`;
  }
  return `${parameters[name].label} ${value(setting, name)}`;
}

/**
 * What has changed on the bench, as it is said aloud: each parameter that moved by name, with its value and
 * the one before. Where more than a few moved, how it stands now.
 *
 * @returns a sentence; empty where nothing has changed
 */
export function changeWords(before: BenchSetting, after: BenchSetting): string {
  const moved = (Object.keys(after) as (keyof BenchSetting)[]).filter(
    (name) => after[name] !== before[name],
  );
  if (moved.length === 0) return '';
  if (moved.length > 3)
    return `On the bench now: ${[apertureWords(after), lightWords(after), ...cameraWords(after)].join(', ')}.`;
  const was = (name: keyof BenchSetting) =>
    typeof after[name] === 'number' ? `, before ${value(before, name as NumberName)}` : '';
  return `${moved.map((name) => saidValue(after, name) + was(name)).join('; ')}.`;
}

/** Numbers that a reader wants to see even where they are as the bench begins. */
const always: readonly (keyof BenchSetting)[] = [
  'light',
  'slits',
  'width',
  'spacing',
  'focalLength',
];

/** What only some stands have. */
const ofSlits = ['slits', 'width', 'spacing', 'blocked', 'placeError', 'ruling'] as const;
const ofFarField = ['incidence', 'absolute'] as const;
const ofSpectrometer = [
  ...(['linesPerMm', 'ruled', 'telescope', 'field', 'circleZero', 'eccentricity'] as const),
  ...(['offCentre', 'vernier', 'magnifier', 'readings'] as const),
] as const;

/** What has no part in what the bench shows, by what stands in the light and what makes it parallel. */
function withoutPart(setting: BenchSetting): ReadonlySet<keyof BenchSetting> {
  const { stand, beam } = setting;
  const bySource = beam === 'distance' ? 'collimatorFocalLength' : 'sourceDistance';
  const farField = isEnd(setting) ? ofFarField : [];
  const none = {
    film: ['screenDistance', 'lensDiameter', 'blur', bySource, ...ofSpectrometer],
    screen: ['focalLength', 'lensDiameter', 'blur', bySource, ...ofSpectrometer],
    open: [...ofSlits, 'beam', 'sourceDistance', 'screenDistance', ...ofSpectrometer],
    spectrometer: [
      ...ofSlits,
      ...(['focalLength', 'span', 'scale', 'absolute', 'beam', 'sourceDistance'] as const),
      ...(['screenDistance', 'lensDiameter', 'blur'] as const),
    ],
  } as const;
  return new Set<keyof BenchSetting>([...none[stand], ...farField]);
}

/** A value as it is written in a cell: `um(40)`, `degrees(5)`, `3`, `'sunlight'`. */
function literal(setting: BenchSetting, name: keyof BenchSetting): string {
  const value = setting[name];
  if (typeof value === 'string') return `'${value}'`;
  if (typeof value === 'boolean') return String(value);
  const parameter = parameters[name as NumberName];
  const number = inUnit(parameter, value);
  const helper = { nm: 'nm', um: 'um', mm: 'mm', deg: 'degrees', '×': '', '1': '', '/mm': '' }[
    parameter.unit
  ];
  return helper && number !== 0 ? `${helper}(${number})` : String(number);
}

/** `import` for the names that a piece of code calls. */
function withImport(code: string): string {
  const called = new Set([...code.matchAll(/(?<![.'\w])([a-z]\w*)\(/gi)].map((match) => match[1]));
  return `import { ${[...called].sort().join(', ')} } from 'multislit';\n${code}`;
}

/**
 * Code for a cell that shows the bench in this setting, without what has no part in what it shows.
 *
 * @example liveCode(startSetting).split('\n')[0] // "import { live, mm, um } from 'multislit';"
 */
export function liveCode(setting: BenchSetting): string {
  const none = withoutPart(setting);
  const has = (Object.keys(startSetting) as (keyof BenchSetting)[]).filter(
    (name) => !none.has(name),
  );
  const moved = has.filter((name) => differs(setting, name));
  // What would follow these by itself is told where it stands elsewhere.
  const follows = changed(
    startSetting,
    Object.fromEntries(moved.map((name) => [name, setting[name]])),
  );
  const told = has.filter(
    (name) => always.includes(name) || moved.includes(name) || follows[name] !== setting[name],
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
