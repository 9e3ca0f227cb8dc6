import type { Aperture } from '../aperture/aperture';
import { regularRun } from '../aperture/runs';
import { colourName, D65_CHROMATICITY } from '../light/dominant-wavelength';
import type { Chromaticity, Light } from '../light/light';
import { isWhite } from '../light/white-balance';
import { chromaticity, xyz as lightXyz } from '../light/xyz';
import type { FilmStrip } from './film';
import type { CheckedStripOptions } from './strip-options';

const micrometres = (metres: number) => `${Number((metres * 1e6).toPrecision(4))} µm`;
const millimetres = (metres: number) => `${Number((metres * 1e3).toPrecision(3))} mm`;
/** How many bright places beside the middle are told. */
const TOLD = 3;

/**
 * One sentence for those who do not see the strip: what stands in the beam, in which light, the
 * colour ahead, and the brightest places on the right with their colour and brightness.
 */
export function describeStrip(
  aperture: Aperture,
  light: Light,
  strip: Pick<FilmStrip, 'positions' | 'xyz' | 'burntOut'>,
  options: Pick<CheckedStripOptions, 'span' | 'focalLength' | 'incidence' | 'told'>,
): string {
  const white = isWhite(light) ? chromaticity(lightXyz(light)) : D65_CHROMATICITY;
  const at = placesTold(options);
  const ahead = `the middle is ${colourName(chromaticity(lightXyz(light)), white)}`;
  const beside = brightPlaces(strip).map((i) => tell(strip, i, white, at));
  const burnt = burntStretches(strip, at);
  const told = [ahead, ...beside, ...(burnt ? [burnt] : [])].join('; ');
  return `Film strip of ${describeAperture(aperture)} in ${light.name}, ${measures(options, at)}: ${told}.`;
}

/** Two digits of a place: enough to find it, too few to measure with. */
interface PlacesTold {
  readonly number: (position: number) => string;
  readonly unit: string;
}

function placesTold({ focalLength, incidence, told }: Told): PlacesTold {
  const text = (value: number) => String(Number(value.toPrecision(2))).replace('-', '−');
  if (told !== 'angle') return { number: (x) => text(x * 1e3), unit: ' mm' };
  const angle = (x: number) => ((Math.atan(x / focalLength) + incidence) * 180) / Math.PI;
  return { number: (x) => text(angle(x)), unit: '°' };
}

type Told = Pick<CheckedStripOptions, 'span' | 'focalLength' | 'incidence' | 'told'>;

function measures({ span, focalLength, told }: Told, { number, unit }: PlacesTold): string {
  if (told === 'angle') return `from ${number(-span / 2)} to ${number(span / 2)}${unit}`;
  if (told === 'screen')
    return `${millimetres(span)} of a screen ${Number(focalLength.toPrecision(3))} m behind`;
  return `${millimetres(span)} of film behind a lens of ${millimetres(focalLength)}`;
}

function describeAperture(aperture: Aperture): string {
  const run = regularRun(aperture);
  const count = aperture.slits.length;
  if (!run) return `${count} unequal slits`;
  if (count === 1) return `one slit ${micrometres(run.width)} wide`;
  return `${count} slits ${micrometres(run.width)} wide, ${micrometres(run.spacing)} apart`;
}

/** The brightest maxima of Y to the right of the middle, in order of position. */
function brightPlaces({ positions, xyz }: Pick<FilmStrip, 'positions' | 'xyz'>): number[] {
  const found: number[] = [];
  const luminance = (i: number) => xyz[3 * i + 1];
  for (let i = 1; i < positions.length - 1; i++) {
    if (positions[i - 1] <= 0) continue;
    if (luminance(i) > luminance(i - 1) && luminance(i) >= luminance(i + 1)) found.push(i);
  }
  return found
    .sort((a, b) => luminance(b) - luminance(a))
    .slice(0, TOLD)
    .sort((a, b) => a - b);
}

/** From where to where the film got more light than it can show; more stretches than a few are counted. */
function burntStretches(
  { positions, burntOut }: Pick<FilmStrip, 'positions' | 'burntOut'>,
  { number, unit }: PlacesTold,
): string | undefined {
  const stretches: string[] = [];
  for (let from = burntOut.indexOf(1); from >= 0; ) {
    const end = burntOut.indexOf(0, from);
    const to = end < 0 ? burntOut.length : end;
    stretches.push(`${number(positions[from])} to ${number(positions[to - 1])}${unit}`);
    from = burntOut.indexOf(1, to);
  }
  if (stretches.length === 0) return undefined;
  if (stretches.length <= TOLD) return `burnt out from ${stretches.join(', from ')}`;
  return `burnt out in ${stretches.length} stretches`;
}

function tell(
  { positions, xyz }: Pick<FilmStrip, 'positions' | 'xyz'>,
  i: number,
  white: Chromaticity,
  { number, unit }: PlacesTold,
): string {
  const [x, y, z] = xyz.subarray(3 * i, 3 * i + 3);
  const share = Number((100 * y).toPrecision(2));
  return `at ${number(positions[i])}${unit} ${colourName(chromaticity([x, y, z]), white)}, ${share} % as bright`;
}
