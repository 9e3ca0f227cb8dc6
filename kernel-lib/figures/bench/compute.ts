import type { Aperture } from '../../aperture/aperture';
import { intensityProfile } from '../../aperture/intensity-profile';
import { type Phasor, phasors } from '../../aperture/phasors';
import type { FilmStrip } from '../../camera/film';
import { filmStrip } from '../../camera/film-strip';
import { colourName } from '../../light/colour-name';
import { D65_CHROMATICITY } from '../../light/dominant-wavelength';
import type { Light } from '../../light/light';
import { isWhite } from '../../light/white-balance';
import { chromaticity, xyz } from '../../light/xyz';
import { apertureOf, cameraOf, lightOf, readingOf } from './build';
import type { BenchSetting } from './setting';

/** What the bench shows for a setting. */
export interface BenchPattern {
  readonly setting: BenchSetting;
  readonly aperture: Aperture;
  readonly light: Light;
  readonly strip: FilmStrip;
  /** Brightness Y of each position, relative to that at s = 0. */
  readonly brightness: Float64Array;
  /** Intensity at the wavelength read at, of a source slit without width; undefined where the two curves are one. */
  readonly single: Float64Array | undefined;
  /** The wavelength read at, m. */
  readonly reading: number;
}

/**
 * The film strip and the curves of a setting, by the library's own functions.
 *
 * @throws RangeError as `filmStrip`
 * @example benchPattern(startSetting).brightness.length // 1201
 */
export function benchPattern(setting: BenchSetting): BenchPattern {
  const aperture = apertureOf(setting);
  const light = lightOf(setting);
  const strip = filmStrip(aperture, light, cameraOf(setting));
  const { xyz } = strip;
  const brightness = new Float64Array(strip.s.length);
  for (let i = 0; i < brightness.length; i++) brightness[i] = xyz[3 * i + 1];
  const reading = readingOf(setting);
  const one = setting.light === 'laser' && setting.sourceWidth === 0;
  const single = one ? undefined : intensityProfile(aperture, reading, strip.s);
  return { setting, aperture, light, strip, brightness, single, reading };
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
  /** Brightness of the film there, relative to s = 0. */
  readonly brightness: number;
  /** A plain name of the colour there. */
  readonly colour: string;
}

/**
 * What is to be read at a place on the film.
 *
 * @param pattern what `benchPattern` returns
 * @param place m from the image of the source slit; taken at the film's ends if beyond
 * @example readPlace(benchPattern(startSetting), 0).intensity // 1
 */
export function readPlace(pattern: BenchPattern, place: number): PlaceReading {
  const { setting, aperture, strip, reading } = pattern;
  const { focalLength, span, incidence } = setting;
  const x = Math.min(span / 2, Math.max(-span / 2, place));
  const deviation = Math.atan(x / focalLength);
  const angle = incidence + deviation;
  // sin θ − sin θi without cancellation near 0.
  const s = 2 * Math.cos(incidence + deviation / 2) * Math.sin(deviation / 2);
  const sides = phasors(aperture, reading, s);
  const sum = sides[sides.length - 1].to;
  const last = strip.positions.length - 1;
  const nearest = Math.round((x / span + 0.5) * last);
  return {
    place: x,
    deviation,
    angle,
    s,
    order: (s * (setting.slits > 1 ? setting.spacing : setting.width)) / reading,
    phasors: sides,
    intensity: sum.re * sum.re + sum.im * sum.im,
    brightness: pattern.brightness[nearest],
    colour: colourAt(pattern, nearest),
  };
}

function colourAt({ light, strip }: BenchPattern, index: number): string {
  const [X, Y, Z] = strip.xyz.subarray(3 * index, 3 * index + 3);
  if (!(Y > 1e-5)) return 'dark';
  const white = isWhite(light) ? chromaticity(xyz(light)) : D65_CHROMATICITY;
  return colourName(chromaticity([X, Y, Z]), white);
}
