import type { Aperture } from '../../aperture/aperture';
import { blocked, withRulingErrors } from '../../aperture/imperfect';
import { slits } from '../../aperture/slits';
import type { FilmStripOptions } from '../../camera/strip-options';
import { filtered } from '../../light/filtered';
import { illuminant } from '../../light/illuminant';
import { lamp } from '../../light/lamp';
import { laser } from '../../light/laser';
import type { Light } from '../../light/light';
import { passband } from '../../light/passband';
import { sunlight } from '../../light/sunlight';
import { xyz } from '../../light/xyz';
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
  return light === 'filament' ? illuminant('A') : lamp(light);
}

/** Positions on the film of the bench; odd, so that the middle is one of them. */
export const POSITIONS = 1201;
/** The shortest wavelength that is seen to any degree, m: it makes the finest fringes. */
const SHORTEST = 400e-9;

/** The camera of a setting. */
export function cameraOf(setting: BenchSetting): FilmStripOptions {
  const { focalLength, span, exposure, scale, sourceWidth, collimatorFocalLength, incidence } =
    setting;
  return {
    focalLength,
    span,
    exposure,
    scale,
    sourceWidth,
    collimatorFocalLength,
    incidence,
    filmBlur: grainOf(setting),
  };
}

/** Fringes finer than three positions would fall between them, so there each position records all that it covers. */
export function grainOf({ slits, width, spacing, focalLength, span }: BenchSetting): number {
  const extent = (slits - 1) * spacing + width;
  const step = Number((span / POSITIONS).toPrecision(6));
  return (SHORTEST * focalLength) / extent < 3 * step ? step : 0;
}

/** The wavelength that order and phasors are read at, m. */
export function readingOf(setting: BenchSetting): number {
  return setting.light === 'laser' ? setting.wavelength : setting.reading;
}

/** A lamp's brightest line to the eye, m; undefined for what has no lines. */
export function brightestLine(light: BenchLight): number | undefined {
  if (light === 'laser') return undefined;
  const source = unfiltered(light);
  let best: { wavelength: number; Y: number } | undefined;
  for (const line of source.lines ?? []) {
    if (line.wavelength < 380e-9 || line.wavelength > 760e-9) continue;
    const Y = xyz({ name: 'one line', lines: [line] }, { relativeTo: source })[1];
    if (Y > (best?.Y ?? 0)) best = { wavelength: line.wavelength, Y };
  }
  return best?.wavelength;
}
