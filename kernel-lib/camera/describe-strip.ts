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
  { span, focalLength }: Pick<CheckedStripOptions, 'span' | 'focalLength'>,
): string {
  const white = isWhite(light) ? chromaticity(lightXyz(light)) : D65_CHROMATICITY;
  const measures = `${millimetres(span)} of film behind a lens of ${millimetres(focalLength)}`;
  const ahead = `the middle is ${colourName(chromaticity(lightXyz(light)), white)}`;
  const beside = brightPlaces(strip).map((i) => tell(strip, i, white));
  const burnt = burntStretches(strip);
  const told = [ahead, ...beside, ...(burnt ? [burnt] : [])].join('; ');
  return `Film strip of ${describeAperture(aperture)} in ${light.name}, ${measures}: ${told}.`;
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
function burntStretches({
  positions,
  burntOut,
}: Pick<FilmStrip, 'positions' | 'burntOut'>): string | undefined {
  const stretches: string[] = [];
  const place = (i: number) =>
    String(Number((positions[i] * 1e3).toPrecision(2))).replace('-', '−');
  for (let from = burntOut.indexOf(1); from >= 0; ) {
    const end = burntOut.indexOf(0, from);
    const to = end < 0 ? burntOut.length : end;
    stretches.push(`${place(from)} to ${place(to - 1)} mm`);
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
): string {
  const [x, y, z] = xyz.subarray(3 * i, 3 * i + 3);
  const share = Number((100 * y).toPrecision(2));
  // Two digits: enough to find the place, too few to measure with.
  const place = Number((positions[i] * 1e3).toPrecision(2));
  return `at ${place} mm ${colourName(chromaticity([x, y, z]), white)}, ${share} % as bright`;
}
