import { type Draw, fitSlits, pictureProfile, rulerScale, um } from 'multislit';
import { markAt, type Scene, snapshotSize } from './snapshot';

/** What a student gets of a second slide, photographed twice as students photograph. */
export interface SecondSlide {
  /** A PNG file, computed: see `snapshot`. Made when it is first asked for. */
  readonly snapshot: Uint8Array;
  /** Two marks of the ruler in it, as somebody clicked on them, pixels. */
  snapshotMarks: { x: number; y: number }[];
  /** How far apart these two marks are on the ruler, m. */
  snapshotRuler: number;
  /** Standard uncertainty of a click, pixels. */
  snapshotClick: number;
  /** The same slide from the same place, by another hand: as good as the first, or spoilt. */
  readonly otherSnapshot: Uint8Array;
}

/** Between the two marks, m; how well somebody clicks, pixels. */
const ruler = 0.08;
const click = 0.7;

/** The slide before the camera, photographed with care; its slits are none of the givens. */
export function drawScene(
  draw: Draw,
  { wavelength, distance }: Pick<Scene, 'wavelength' | 'distance'>,
): Scene {
  const width = draw.between('second width', um(40), um(60), um(0.5));
  const toDark = draw.between('second reach', 125, 155, 1);
  const lean = draw.between('second lean', -0.1, 0.1, 0.001);
  return {
    ...{ wavelength, distance, width, lean },
    count: draw.between('second count', 2, 3, 1),
    spacing: draw.choice('second ratio', [2.6, 2.7, 2.8, 3.2, 3.3, 3.4]) * width,
    // The first dark line of one slit stands so many pixels from the middle.
    pixel: (wavelength * distance) / width / toDark,
    rulerLean: lean + draw.between('second ruler', -0.02, 0.02, 0.001),
    spot: draw.between('second spot', 8, 14, 0.5),
    middle: {
      x: snapshotSize.width / 2 + draw.between('second middle', -25, 25, 0.5),
      y: 78 + draw.between('second height', -8, 8, 0.5),
    },
    exposure: draw.between('second exposure', 1, 2.5, 0.01),
    daylight: draw.between('second daylight', 0.02, 0.1, 0.001),
    looks: draw.between('second looks', 3, 6, 1),
    blur: draw.between('second blur', 0.8, 1.6, 0.05),
    brightening: 1,
  };
}

/**
 * The same scene by another hand. Spoilt is: exposed so long that the bright lines are full to their feet and daylight
 * lifts what lies between them, not held still, and brightened by the camera.
 */
export function byAnotherHand(draw: Draw, scene: Scene): Scene {
  const isSpoilt = draw.choice('second care', [true, false]);
  if (!isSpoilt) return { ...scene, exposure: draw.between('other exposure', 1, 2.5, 0.01) };
  return {
    ...scene,
    exposure: 100 * scene.exposure,
    daylight: 0.5,
    blur: 3 * scene.blur,
    brightening: draw.between('second brightening', 0.35, 0.5, 0.01),
  };
}

/** What is told of the ruler in the photographs. */
export function rulerGivens(
  draw: Draw,
  scene: Scene,
): Pick<SecondSlide, 'snapshotMarks' | 'snapshotRuler' | 'snapshotClick'> {
  const misses = draw.normals('second clicks', 4);
  const near = (pixels: number) => Math.round(10 * pixels) / 10;
  const snapshotMarks = [-ruler / 2, ruler / 2].map((place, i) => {
    const { x, y } = markAt(scene, place);
    return { x: near(x + click * misses[2 * i]), y: near(y + click * misses[2 * i + 1]) };
  });
  return { snapshotMarks, snapshotRuler: ruler, snapshotClick: click };
}

/** What the fit says of a photograph of the second slide. */
export function fitOf(
  given: SecondSlide & Pick<Scene, 'wavelength' | 'distance'>,
  file: Uint8Array,
) {
  const [a, b] = given.snapshotMarks;
  const scale = rulerScale(a, b, given.snapshotRuler, { click: given.snapshotClick });
  const profile = pictureProfile(file, { scale, channel: 'red', band: 'find' });
  return fitSlits(profile, { wavelength: given.wavelength, focalLength: given.distance });
}

/** Whether the fit says of the other photograph that its result is to be trusted; one that it refuses is not. */
export function isOtherTrusted(given: Parameters<typeof fitOf>[0]): boolean {
  const before = known.get(given);
  if (before !== undefined) return before;
  let trusted = false;
  try {
    trusted = fitOf(given, given.otherSnapshot).trusted;
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
  }
  known.set(given, trusted);
  return trusted;
}

const known = new WeakMap<object, boolean>();
