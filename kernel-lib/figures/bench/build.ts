import { type Aperture, slits } from '../../aperture/aperture';
import { blocked, withRulingErrors } from '../../aperture/imperfect';
import type { FilmStripOptions } from '../../camera/strip-options';
import { filtered, passband } from '../../light/filtered';
import { illuminant } from '../../light/illuminant';
import { lamp, laser } from '../../light/lamp';
import type { Light } from '../../light/light';
import { sunlight } from '../../light/sunlight';
import type { BenchLight, BenchSetting } from './setting';

/** The slits of a setting. @throws RangeError when errors of ruling make slits meet */
export function apertureOf(setting: BenchSetting): Aperture {
  const { slits: count, width, spacing, placeError, ruling } = setting;
  let aperture = slits(count, { width, spacing: Math.max(spacing, width) });
  if (placeError > 0 && count > 1)
    aperture = withRulingErrors(aperture, { seed: ruling, place: placeError });
  return setting.blocked > 0 ? blocked(aperture, setting.blocked - 1) : aperture;
}

/** As many lights are remembered, with the tables that were made for them. */
const REMEMBERED = 8;
const remembered = new Map<string, Light>();

/** The light of a setting: the same object for the same light, so that its tables are made once. */
export function lightOf(setting: BenchSetting): Light {
  const { light, wavelength, filter, bandCentre, bandWidth } = setting;
  const key =
    light === 'laser' ? `laser ${wavelength}` : `${light} ${filter && [bandCentre, bandWidth]}`;
  const known = remembered.get(key);
  if (known) {
    remembered.delete(key);
    remembered.set(key, known);
    return known;
  }
  const made = makeLight(setting);
  remembered.set(key, made);
  for (const [oldest] of remembered) {
    if (remembered.size <= REMEMBERED) break;
    remembered.delete(oldest);
  }
  return made;
}

function makeLight({ light, wavelength, filter, bandCentre, bandWidth }: BenchSetting): Light {
  if (light === 'laser') return laser(wavelength);
  const source = unfiltered(light);
  return filter ? filtered(source, passband(bandCentre, bandWidth)) : source;
}

function unfiltered(light: Exclude<BenchLight, 'laser'>): Light {
  if (light === 'sunlight') return sunlight();
  if (light === 'filament') return { ...illuminant('A'), name: 'filament lamp' };
  return lamp(light);
}

/** Positions on the film of the bench; odd, so that the middle is one of them. */
export const POSITIONS = 1201;
/** The shortest wavelength that is seen to any degree, m: it makes the finest fringes. */
const SHORTEST = 400e-9;

/** The camera of a setting; with its grain, or as sharp as the light is. */
export function cameraOf(setting: BenchSetting, grain = grainOf(setting)): FilmStripOptions {
  const { focalLength, span, scale, sourceWidth, collimatorFocalLength, incidence } = setting;
  return {
    focalLength,
    span,
    points: POSITIONS,
    exposure: exposureOf(setting),
    scale,
    sourceWidth,
    collimatorFocalLength,
    incidence,
    filmBlur: grain,
  };
}

/** The exposure as `filmStrip` counts it, from the pattern's own middle. */
export function exposureOf(setting: BenchSetting): number {
  return Number((setting.exposure * (setting.absolute ? gainOf(setting) : 1)).toPrecision(12));
}

/** How many times brighter the middle is than that of one such slit alone: amplitudes add up, so N² of N open slits. */
export function gainOf({ slits, blocked }: BenchSetting): number {
  return (slits - (blocked > 0 ? 1 : 0)) ** 2;
}

/** Distance of neighbouring fringes on the film, m: of the outermost slits and the shortest wavelength. */
export function finestFringe(
  { slits, width, spacing, focalLength }: BenchSetting,
  wavelength = SHORTEST,
): number {
  return (wavelength * focalLength) / ((slits - 1) * spacing + width);
}

/** Fringes finer than three positions would fall between them, so there each position of the film records all that it covers. */
export function grainOf(setting: BenchSetting): number {
  const step = Number((setting.span / (POSITIONS - 1)).toPrecision(6));
  return finestFringe(setting) < 3 * step ? step : 0;
}

/** The wavelength that order and phasors are read at, m. */
export function readingOf(setting: BenchSetting): number {
  return setting.light === 'laser' ? setting.wavelength : setting.reading;
}
