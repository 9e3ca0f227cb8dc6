import { type Aperture, slits } from '../../aperture/aperture';
import { fresnelNumber } from '../../aperture/near-field';
import type { FilmStrip } from '../../camera/film';
import { filmStrip } from '../../camera/film-strip';
import { screenStrip } from '../../camera/screen-strip';
import type { Light } from '../../light/light';
import { formatNumber } from '../../quantity/format-number';
import { apertureOf, lightOf, POSITIONS, readingOf } from './build';
import { type BenchSetting, parameters, writeValue } from './setting';

/** A curve along film or screen. */
interface Along {
  readonly places: Float64Array;
  readonly values: Float64Array;
}

/** What the bench shows at the two ends of the demonstration: without slits, and without lenses. */
export interface EndPattern {
  readonly aperture: Aperture;
  readonly light: Light;
  readonly strip: FilmStrip;
  /** Brightness against that of the brightest place. */
  readonly brightness: Along;
  /** The far-field formula in the same unit; none without slits. */
  readonly single: Along | undefined;
  /** What is to be learnt from it, in a sentence or two. */
  readonly words: string;
}

/** Whether a setting is one of these; all others are far fields of slits. */
export function isEnd({ stand, beam }: BenchSetting): boolean {
  return stand === 'open' || stand === 'screen' || (stand === 'film' && beam === 'distance');
}

/** @throws RangeError as `filmStrip`, `screenStrip` */
export function endPattern(setting: BenchSetting): EndPattern {
  return setting.stand === 'open' ? slitImage(setting) : withoutLens(setting);
}

/** The source slit's image where nothing stands in the beam but the rim of the lens. */
function slitImage(setting: BenchSetting): EndPattern {
  const { lensDiameter, sourceWidth, collimatorFocalLength, focalLength, blur, span } = setting;
  const aperture = slits(1, { width: lensDiameter });
  const light = lightOf(setting);
  const finest = (400e-9 * focalLength) / lensDiameter;
  const step = span / (POSITIONS - 1);
  const exposed = (exposure: number) =>
    filmStrip(aperture, light, {
      ...{ focalLength, span, points: POSITIONS, sourceWidth, collimatorFocalLength, exposure },
      scale: setting.scale,
      filmBlur: Math.max(blur, finest < 3 * step ? step : 0),
    });
  let strip = exposed(setting.exposure);
  const brightness = againstBrightest(strip.positions, strip.xyz);
  // The image of a wide slit may be brightest beside its middle, from which a film strip is exposed.
  const middle = brightness.values[(POSITIONS - 1) / 2];
  if (setting.exposure <= 1 && strip.burntOut.includes(1))
    strip = exposed(0.96 * setting.exposure * middle);
  const image = (sourceWidth * focalLength) / collimatorFocalLength;
  const disc = (readingOf(setting) * focalLength) / lensDiameter;
  const um = (length: number) => `${formatNumber(length * 1e6, 3)} µm`;
  const parts = [
    `the slit’s image itself ${um(image)} (${um(sourceWidth)} × f / f of the collimator)`,
    `diffraction at the lens’s rim ${um(disc)} (λ f / D)`,
    `the film ${um(blur)}`,
  ];
  const most = [image, disc, blur].indexOf(Math.max(image, disc, blur));
  const rules = ['the slit', 'the lens’s opening', 'the film'][most];
  const words = `The image of the source slit is ${um(widthAtHalf(brightness))} wide at half of its brightness: ${parts.join(', ')}. What is broadest rules: ${rules}.`;
  return { aperture, light, strip, brightness, single: undefined, words };
}

/** Slits and a screen without a lens; or a film in a lens's focus, but light from near by, which is the same in another place. */
function withoutLens(setting: BenchSetting): EndPattern {
  const { stand, beam, screenDistance, sourceDistance, sourceWidth, focalLength, span } = setting;
  const aperture = apertureOf(setting);
  const light = lightOf(setting);
  const isScreen = stand === 'screen';
  const isFromAfar = beam === 'distance';
  // Behind a lens the film shows what a screen at the source's distance would, parallel light behind the slits.
  const distance = isScreen ? screenDistance : sourceDistance;
  const shrunk = isScreen ? 1 : focalLength / sourceDistance;
  const strip = screenStrip(aperture, light, {
    distance,
    ...(isScreen && isFromAfar && { sourceDistance }),
    span: span / shrunk,
    points: POSITIONS,
    sourceAngle: sourceWidth / (isFromAfar ? sourceDistance : setting.collimatorFocalLength),
    exposure: setting.exposure,
    scale: setting.scale,
  });
  const positions = strip.positions.map((x) => x * shrunk);
  const brightness = againstBrightest(positions, strip.xyz);
  const far = { places: positions, values: strip.far.map((value) => value / brightness.most) };
  const off = far.values.reduce(
    (most, value, i) => Math.max(most, Math.abs(value - brightness.values[i])),
    0,
  );
  const wavelength = readingOf(setting);
  const number = fresnelNumber(aperture, wavelength, distance, {
    ...(isScreen && isFromAfar && { sourceDistance }),
  });
  const at = `${formatNumber(wavelength * 1e9, 4)} nm`;
  const field =
    number > 1
      ? 'near field: a shadow with fringes at its edges'
      : number > 0.1
        ? 'between shadow and far field'
        : 'far field';
  const words = `Fresnel number ${formatNumber(number, 2)} at ${at}: ${field}. Dashed: the far-field formula; it is off by up to ${formatNumber(100 * off, 2)} % of the brightest place.`;
  return {
    aperture,
    light,
    strip: { ...strip, positions, alt: isScreen ? strip.alt : behindLens(setting, strip.alt) },
    brightness,
    single: far,
    words,
  };
}

const behindLens = (setting: BenchSetting, alt: string) =>
  `Film in the focus of a lens of ${writeValue(parameters.focalLength, setting.focalLength)}, the source slit ${writeValue(parameters.sourceDistance, setting.sourceDistance)} before it and not in focus, which is as this, reduced. ${alt}`;

function againstBrightest(
  places: Float64Array,
  xyz: Float64Array,
): Along & { readonly most: number } {
  const values = xyz.filter((_, i) => i % 3 === 1);
  const most = values.reduce((a, b) => Math.max(a, b), 0);
  return { places, values: values.map((value) => value / most), most };
}

/** Width between the outermost places of half the brightness, straight lines between positions. */
function widthAtHalf({ places, values }: Along): number {
  const last = values.length - 1;
  let [i, j] = [0, last];
  while (i < last && values[i] < 0.5) i++;
  while (j > 0 && values[j] < 0.5) j--;
  const between = (k: number, next: number) =>
    places[k] + ((0.5 - values[k]) / (values[next] - values[k] || 1)) * (places[next] - places[k]);
  const left = i > 0 ? between(i - 1, i) : places[0];
  const right = j < last ? between(j + 1, j) : places[last];
  return right - left;
}
