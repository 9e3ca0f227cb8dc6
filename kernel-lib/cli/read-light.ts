import { blackbody } from '../light/blackbody';
import { filtered, passband } from '../light/filtered';
import { illuminant } from '../light/illuminant';
import { type LampName, lamp, laser } from '../light/lamp';

import type { Light } from '../light/light';

import { sunlight } from '../light/sunlight';
import { quantityOf, readQuantity } from './read-quantity';

const lamps: readonly LampName[] = ['sodium', 'mercury', 'cadmium', 'helium', 'hydrogen'];

/** What `--light` takes, for the help and for messages. */
export const lightNames = `filament, sunlight, D65, ${lamps.join(', ')}, a laser by its wavelength (632.8nm), a glowing body by its temperature (3000K)`;

/** A light by the name typed. @throws Error that lists the names */
export function readLight(name: string): Light {
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
export function readFiltered(light: Light, band: string): Light {
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
