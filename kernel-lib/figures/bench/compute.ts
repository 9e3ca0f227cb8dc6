import type { Aperture } from '../../aperture/aperture';
import { intensityProfile } from '../../aperture/intensity';
import { type Phasor, phasors } from '../../aperture/phasors';
import { type FilmStrip, sineAt } from '../../camera/film';
import { filmAt, filmStrip } from '../../camera/film-strip';
import { colourName, D65_CHROMATICITY } from '../../light/dominant-wavelength';
import type { Chromaticity, Light } from '../../light/light';
import { isWhite } from '../../light/white-balance';
import { chromaticity, xyz } from '../../light/xyz';
import {
  apertureOf,
  cameraOf,
  finestFringe,
  gainOf,
  grainOf,
  lightOf,
  POSITIONS,
  readingOf,
} from './build';
import { endPattern, isEnd } from './ends';
import type { BenchSetting } from './setting';

/** A curve along the film: places, m, ascending, and a value at each. */
export interface Curve {
  readonly places: Float64Array;
  readonly values: Float64Array;
}

/** What the bench shows for a setting. */
export interface BenchPattern {
  readonly setting: BenchSetting;
  readonly aperture: Aperture;
  readonly light: Light;
  readonly strip: FilmStrip;
  /** Brightness Y, relative to that at s = 0; without the film's grain but for uneven slits. */
  readonly brightness: Curve;
  /** Intensity at the wavelength read at, of a source slit without width; undefined where the two curves are one. */
  readonly single: Curve | undefined;
  /** The wavelength read at, m. */
  readonly reading: number;
  /** How many times brighter the middle is than that of one such slit alone. */
  readonly gain: number;
  /** What a pattern says that is no far field of slits; empty for one that is. */
  readonly words: string;
}

/**
 * The film strip and the curves of a setting, by the library's own functions.
 *
 * @throws RangeError as `filmStrip`
 * @example benchPattern(startSetting).brightness.values[600] // 1
 */
export function benchPattern(setting: BenchSetting): BenchPattern {
  if (isEnd(setting))
    return { setting, ...endPattern(setting), reading: readingOf(setting), gain: 1 };
  const aperture = apertureOf(setting);
  const light = lightOf(setting);
  const strip = filmStrip(aperture, light, cameraOf(setting));
  const reading = readingOf(setting);
  const one = isOneLine(setting);
  const single = one ? undefined : singleCurve(setting, aperture, reading);
  const brightness = one
    ? singleCurve(setting, aperture, reading)
    : needsMorePoints(setting)
      ? fineBrightness(setting, aperture, light)
      : { places: strip.positions, values: strip.xyz.filter((_, i) => i % 3 === 1) };
  const gain = gainOf(setting);
  return { setting, aperture, light, strip, brightness, single, reading, gain, words: '' };
}

/** One wavelength from a line: brightness and intensity are the same. */
const isOneLine = ({ light, sourceWidth }: BenchSetting) => light === 'laser' && sourceWidth === 0;

/**
 * Whether the fringes are finer than the film's positions and stay so: not when the image of the source slit
 * covers them. Uneven slits take so long to compute that the film's own record has to do.
 */
function needsMorePoints(setting: BenchSetting): boolean {
  const { sourceWidth, focalLength, collimatorFocalLength, placeError } = setting;
  const image = (sourceWidth * focalLength) / collimatorFocalLength;
  return grainOf(setting) > 0 && image < finestFringe(setting) && placeError === 0;
}

/** Points to each fringe of one wavelength: of a peak between two of them 96 % and more is drawn. */
const POINTS_OF_ONE = 5;
/** Of the finest fringes in any light: 95 % and more. */
const POINTS_OF_ALL = 4;

/** Places evenly along the film, the middle among them, at least as many as the film has positions. */
function finePlaces(setting: BenchSetting, points: number, wavelength?: number): Float64Array {
  const step = setting.span / (POSITIONS - 1);
  const pieces = Math.ceil((points * step) / finestFringe(setting, wavelength));
  const half = ((POSITIONS - 1) / 2) * Math.max(1, pieces);
  return Float64Array.from(
    { length: 2 * half + 1 },
    (_, i) => ((i - half) / (2 * half)) * setting.span,
  );
}

function singleCurve(setting: BenchSetting, aperture: Aperture, wavelength: number): Curve {
  const places = finePlaces(setting, POINTS_OF_ONE, wavelength);
  const { focalLength, incidence } = setting;
  const s = places.map((x) => sineAt(x, focalLength, incidence));
  return { places, values: intensityProfile(aperture, wavelength, s) };
}

/** Brightness where the film's positions are too coarse for the fringes. */
function fineBrightness(setting: BenchSetting, aperture: Aperture, light: Light): Curve {
  const places = finePlaces(setting, POINTS_OF_ALL);
  const middle = places.length >> 1;
  // Real slits at normal incidence: the left half mirrors the right.
  const from = setting.incidence === 0 ? middle : 0;
  const xyz = filmAt(aperture, light, places.subarray(from), cameraOf(setting, 0));
  const values = new Float64Array(places.length);
  for (let i = from; i < values.length; i++) {
    values[i] = xyz[3 * (i - from) + 1];
    if (from > 0) values[2 * middle - i] = values[i];
  }
  return { places, values };
}

/** What is to be read at one place on the film. */
export interface PlaceReading {
  /** Place on the film, m; 0 is the image of the source slit. */
  readonly place: number;
  /** Angle to the undeviated beam, rad. */
  readonly deviation: number;
  /** Angle θ to the normal of the aperture, rad. */
  readonly angle: number;
  /** Direction sine sin θ − sin θi. */
  readonly s: number;
  /** s d/λ of several slits, s a/λ of one. */
  readonly order: number;
  readonly phasors: readonly Phasor[];
  /** |A|² at the wavelength read at, relative to s = 0. */
  readonly intensity: number;
  /** Brightness there, relative to s = 0; without the film's grain. */
  readonly brightness: number;
  /** Whether the film got more light there than it can show. */
  readonly burntOut: boolean;
  /** A plain name of the colour there. */
  readonly colour: string;
  /** x, y of the colour there; undefined where it is dark. */
  readonly xy: Chromaticity | undefined;
}

/**
 * What is to be read at a place on the film.
 *
 * @param pattern what `benchPattern` returns
 * @param place m from the image of the source slit; taken at the film's ends if beyond
 * @example readPlace(benchPattern(startSetting), 0).intensity // 1
 */
export function readPlace(pattern: BenchPattern, place: number): PlaceReading {
  if (isEnd(pattern.setting)) return readEnd(pattern, place);
  const { setting, aperture, strip, reading } = pattern;
  const { focalLength, span, incidence } = setting;
  const x = Math.min(span / 2, Math.max(-span / 2, place));
  const deviation = Math.atan(x / focalLength);
  const angle = incidence + deviation;
  // sin θ − sin θi without cancellation near 0.
  const s = 2 * Math.cos(incidence + deviation / 2) * Math.sin(deviation / 2);
  const sides = phasors(aperture, reading, s);
  const sum = sides[sides.length - 1].to;
  const intensity = sum.re * sum.re + sum.im * sum.im;
  const here = colourAt(pattern, x);
  const last = strip.positions.length - 1;
  return {
    place: x,
    deviation,
    angle,
    s,
    order: (s * (setting.slits > 1 ? setting.spacing : setting.width)) / reading,
    phasors: sides,
    intensity,
    brightness: isOneLine(setting) ? intensity : here.brightness,
    burntOut: strip.burntOut[Math.round((x / span + 0.5) * last)] === 1,
    colour: here.name,
    xy: here.xy,
  };
}

/** The same where slits and lens are not both there: as film or screen record it. */
function readEnd({ setting, strip, brightness, reading, light }: BenchPattern, place: number) {
  const { stand, span, focalLength, screenDistance } = setting;
  const last = strip.positions.length - 1;
  const x = Math.min(span / 2, Math.max(-span / 2, place));
  const i = Math.round((x / span + 0.5) * last);
  const deviation = Math.atan(x / (stand === 'screen' ? screenDistance : focalLength));
  const s = Math.sin(deviation);
  const opening = stand === 'open' ? setting.lensDiameter : setting.width;
  const apart = stand !== 'open' && setting.slits > 1 ? setting.spacing : opening;
  const [X, Y, Z] = strip.xyz.subarray(3 * i, 3 * i + 3);
  const value = brightness.values[i];
  const xy = value > 1e-5 ? chromaticity([X, Y, Z]) : undefined;
  return {
    ...{ place: x, deviation, angle: deviation, s, order: (s * apart) / reading },
    ...{ phasors: [], intensity: value, brightness: value, burntOut: strip.burntOut[i] === 1 },
    colour: xy ? colourName(xy, whiteOf(light)) : 'dark',
    xy,
  };
}

const whiteOf = (light: Light) => (isWhite(light) ? chromaticity(xyz(light)) : D65_CHROMATICITY);

/** Brightness and a name of the colour at the very place, not at the nearest position of the film. */
function colourAt({ setting, aperture, light }: BenchPattern, x: number) {
  const [X, Y, Z] = filmAt(aperture, light, Float64Array.of(x), cameraOf(setting, 0));
  if (!(Y > 1e-5)) return { brightness: Y, name: 'dark', xy: undefined };
  const xy = chromaticity([X, Y, Z]);
  return { brightness: Y, name: colourName(xy, whiteOf(light)), xy };
}
