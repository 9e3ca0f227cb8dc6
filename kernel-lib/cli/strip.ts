import { resolve } from 'node:path';
import { Command } from 'commander';
import { slits } from '../aperture/aperture';
import { filmStrip } from '../camera/film-strip';
import type { Figure } from '../figures/figure';
import { filmStripPicture } from '../figures/film-strip-picture';
import { stackedStrips } from '../figures/stacked-strips';
import { requireWritable, writeWhole } from '../kernel/files';
import { blackbody } from '../light/blackbody';
import { filtered, passband } from '../light/filtered';
import { illuminant } from '../light/illuminant';
import { type LampName, lamp, laser } from '../light/lamp';
import type { Light } from '../light/light';
import { sunlight } from '../light/sunlight';
import { fromUnit, knownUnit } from '../quantity/known-unit';

const scales = ['film', 'sine', 'degrees', 'milliradians'] as const;

/** What the person typed, word for word. */
export interface StripOptions {
  readonly slits: string;
  readonly width: string;
  readonly spacing?: string;
  readonly light: string;
  readonly passband?: string;
  readonly span?: string;
  readonly focalLength?: string;
  readonly size?: string;
  readonly exposure?: string;
  readonly log?: string | boolean;
  readonly along?: string;
  readonly bare?: boolean;
}

/** `multislit strip`: film strips as a picture, for slides and handouts. */
export function stripCommand(): Command {
  return new Command('strip')
    .description('Draw the film strip of one or several apertures as a picture.')
    .requiredOption('--slits <N>', 'number of slits; several with commas are stacked: 1,2,3,5,8,16')
    .requiredOption('--width <length>', 'width of each slit, such as 40um')
    .option('--spacing <length>', 'from centre to centre, such as 100um')
    .requiredOption('--light <name>', lightNames)
    .requiredOption('--to <file>', 'where to write: a .png, or a .svg')
    .option('--passband <centre,width>', 'a filter in the beam, such as 650nm,40nm')
    .option('--span <angle or length>', 'whole angle or film length shown, such as 52mrad or 15mm')
    .option('--focal-length <length>', 'of the camera lens', '300mm')
    .option('--along <scale>', `axis: ${scales.join(', ')}`, 'film')
    .option('--size <WxH>', 'pixels of one strip', '1201x46')
    .option(
      '--exposure <factor>',
      'what the middle comes to, 1 being all that the film shows; more burns it out and shows weak spectra (1 unless told)',
    )
    .option(
      '--log [decades]',
      'show the logarithm of the brightness, over 4 powers of ten unless told',
    )
    .option('--bare', 'one strip only, without label and axis')
    .action(async (options: StripOptions & { to: string }) => {
      if (!/\.(png|svg)$/i.test(options.to)) {
        throw new Error(`--to ${options.to}: the name must end in .png or .svg.`);
      }
      const target = resolve(options.to);
      requireWritable(target);
      const figure = stripPicture(options);
      await writeWhole(target, /\.svg$/i.test(target) ? figure.svg : figure.png!);
      console.log(`${figure.alt}\nWritten to ${target}`);
    });
}

/** The picture that is asked for. @throws Error with a sentence that names the option, what was typed and the mend */
export function stripPicture(options: StripOptions): Figure {
  const numbers = counts(options.slits);
  const width = readQuantity('--width', options.width, 'length');
  if (options.spacing === undefined && numbers.some((count) => count > 1)) {
    throw new Error(
      '--spacing is missing: several slits need it, centre to centre, such as --spacing 100um.',
    );
  }
  const spacing = options.spacing && readQuantity('--spacing', options.spacing, 'length');
  const source = readLight(options.light);
  const light = options.passband === undefined ? source : readFiltered(source, options.passband);
  const focalLength = readQuantity('--focal-length', options.focalLength ?? '300mm', 'length');
  const { points, height } = pixels(options.size ?? '1201x46');
  const along = scales.find((one) => one === (options.along ?? 'film'));
  if (!along) throw new Error(`--along ${options.along}: choose one of ${scales.join(', ')}.`);
  if (options.bare && numbers.length > 1) {
    throw new Error(
      `--bare draws one strip without label and axis, but --slits ${options.slits} asks for ${numbers.length}.`,
    );
  }
  const camera = {
    focalLength,
    points,
    span: options.span === undefined ? undefined : filmSpan(options.span, focalLength),
    exposure:
      options.exposure === undefined ? undefined : factor('--exposure', options.exposure, '2'),
    ...(options.log
      ? {
          scale: 'log' as const,
          decades: options.log === true ? undefined : factor('--log', String(options.log), '4'),
        }
      : {}),
  };
  const strips = numbers.map((count) => ({
    label: count === 1 ? '1 slit' : `${count} slits`,
    strip: filmStrip(slits(count, { width, ...(spacing ? { spacing } : {}) }), light, camera),
  }));
  return options.bare
    ? filmStripPicture(strips[0].strip, { along, height })
    : stackedStrips(strips, { along, height });
}

function counts(text: string): number[] {
  return text.split(',').map((part) => {
    const count = Number(part);
    if (part.trim() !== '' && Number.isInteger(count) && count >= 1 && count <= 10_000)
      return count;
    throw new Error(
      `--slits ${text}: "${part}" is not a number of slits. Give a whole number from 1 to 10000, or several with commas, such as 1,2,3.`,
    );
  });
}

function factor(option: string, text: string, example: string): number {
  const value = Number(text);
  if (text.trim() !== '' && Number.isFinite(value) && value > 0) return value;
  throw new Error(`${option} ${text}: expected a number above zero, such as ${example}.`);
}

function pixels(text: string): { points: number; height: number } {
  const [, width, height] = /^(\d+)[x×](\d+)$/i.exec(text.trim()) ?? [];
  const size = { points: Number(width), height: Number(height) };
  const fits =
    size.points >= 100 && size.points <= 10_000 && size.height >= 8 && size.height <= 400;
  if (fits) return size;
  throw new Error(
    `--size ${text}: expected the pixels of one strip, width from 100 to 10000 and height from 8 to 400, such as 1201x46.`,
  );
}

/** Length of film for a span typed as a length on the film or as an angle. */
function filmSpan(text: string, focalLength: number): number {
  const angle = quantityOf(text, 'angle');
  if (angle === undefined && quantityOf(text, 'length') === undefined) {
    throw new Error(
      `--span ${text}: expected the whole angle or the whole length of film shown, such as 52mrad, 3deg or 15mm.`,
    );
  }
  if (angle === undefined) return readQuantity('--span', text, 'length');
  if (angle > 0 && angle < Math.PI) return 2 * focalLength * Math.tan(angle / 2);
  throw new Error(`--span ${text}: the angle must lie between 0 and 180 degrees.`);
}

const examples = { length: '40um or 0.1mm', angle: '52mrad or 3deg', temperature: '3000K' };

type Kind = keyof typeof examples;

/** A quantity typed on the command line, in SI; undefined when it is not a number with such a unit. */
export function quantityOf(text: string, kind: Kind): number | undefined {
  const match = /^\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?)\s*(\D\S*)\s*$/i.exec(text);
  const unit = match ? knownUnit(match[2]) : undefined;
  if (!match || !unit || !isOf(unit.dimension, kind)) return undefined;
  return fromUnit(Number(match[1]), match[2]);
}

function isOf(dimension: object, kind: Kind): boolean {
  return Object.entries(dimension).every(([name, power]) => power === (name === kind ? 1 : 0));
}

/** `quantityOf`, above zero. @throws Error naming the option, what was typed and how to mend it */
function readQuantity(option: string, text: string, kind: Kind): number {
  const value = quantityOf(text, kind);
  if (value === undefined) {
    throw new Error(
      `${option} ${text}: expected ${kind === 'angle' ? 'an' : 'a'} ${kind} with its unit, such as ${examples[kind]}.`,
    );
  }
  if (!(value > 0)) throw new Error(`${option} ${text}: the ${kind} must be above zero.`);
  return value;
}

const lamps: readonly LampName[] = ['sodium', 'mercury', 'cadmium', 'helium', 'hydrogen'];

/** What `--light` takes, for the help and for messages. */
const lightNames = `filament, sunlight, D65, ${lamps.join(', ')}, a laser by its wavelength (632.8nm), a glowing body by its temperature (3000K)`;

/** A light by the name typed. @throws Error that lists the names */
function readLight(name: string): Light {
  const plain = name.trim().toLowerCase();
  if (plain === 'sunlight') return sunlight();
  if (plain === 'd65') return illuminant('D65');
  if (plain === 'filament' || plain === 'a') return illuminant('A');
  const known = lamps.find((one) => one === plain);
  if (known) return lamp(known);
  const wavelength = quantityOf(name, 'length');
  if (wavelength !== undefined) return laser(wavelength);
  const kelvin = quantityOf(name, 'temperature');
  if (kelvin !== undefined) return blackbody(kelvin);
  throw new Error(`--light ${name}: there is no such light. Known are ${lightNames}.`);
}

/** The light behind a filter typed as `650nm,40nm`: centre and full width at half maximum. */
function readFiltered(light: Light, band: string): Light {
  const [centre, width, ...more] = band.split(',');
  if (width === undefined || more.length) {
    throw new Error(
      `--passband ${band}: expected centre and width, such as --passband 650nm,40nm.`,
    );
  }
  const option = '--passband';
  return filtered(
    light,
    passband(readQuantity(option, centre, 'length'), readQuantity(option, width, 'length')),
  );
}
