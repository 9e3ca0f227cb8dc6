import type { Aperture } from '../aperture/aperture';
import { regularRun } from '../aperture/runs';
import type { Light } from '../light/light';
import type { CheckedStripOptions } from './strip-options';

const micrometres = (metres: number) => `${Number((metres * 1e6).toPrecision(4))} µm`;
const millimetres = (metres: number) => `${Number((metres * 1e3).toPrecision(4))} mm`;

/** One sentence for those who do not see the strip: what stands in the beam, in which light, and the film's measures. */
export function describeStrip(
  aperture: Aperture,
  light: Light,
  options: CheckedStripOptions,
): string {
  const { span, focalLength, exposure, scale } = options;
  const shown = scale === 'log' ? 'logarithm of the brightness' : `exposure ${exposure}`;
  return `Film strip of ${describeAperture(aperture)} in ${light.name}: ${millimetres(span)} of film behind a lens of ${Number(focalLength.toPrecision(4))} m, ${shown}.`;
}

function describeAperture(aperture: Aperture): string {
  const run = regularRun(aperture);
  const count = aperture.slits.length;
  if (!run) return `${count} unequal slits`;
  if (count === 1) return `one slit ${micrometres(run.width)} wide`;
  return `${count} slits ${micrometres(run.width)} wide, ${micrometres(run.spacing)} apart`;
}
