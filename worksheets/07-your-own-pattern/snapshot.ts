import { encodePicture, intensity, type Random, seeded, slits, srgbFromLinear } from 'multislit';

// A camera of our own that takes a photograph as a student does: a row of spots on a wall that leans, a ruler below it,
// daylight, a hand that is not quite still.

/** What stands before the camera, and how it is held. Lengths in m; pixels where it says so. */
export interface Scene {
  readonly count: number;
  readonly width: number;
  readonly spacing: number;
  readonly wavelength: number;
  /** From the slits to the wall. */
  readonly distance: number;
  /** On the wall, per pixel. */
  readonly pixel: number;
  /** rad by which the row of spots, and the ruler, lean in the picture. */
  readonly lean: number;
  readonly rulerLean: number;
  /** Radius of a spot, to 1/e² of its light: that of the beam, pixels. */
  readonly spot: number;
  /** Where the middle of the pattern is seen, pixels. */
  readonly middle: { readonly x: number; readonly y: number };
  /** Brightest spot, and daylight on the wall, in full scales of the camera. */
  readonly exposure: number;
  readonly daylight: number;
  /** So many independent patterns of speckle are averaged in a pixel. */
  readonly looks: number;
  /** Standard deviation of the blur by lens and hand, pixels. */
  readonly blur: number;
  /** How a camera that brightens what is dark changes light before it writes its code: to this power; 1 leaves it. */
  readonly brightening: number;
}

/** Pixels. */
export const snapshotSize = { width: 640, height: 200 };
const fullWell = 5000;
const readNoise = 10;
/** How red, green and blue see the laser; daylight they see alike. */
const responses = [1, 0.06, 0.02];
/** Upper edge of the ruler below the spots, and its height, pixels. */
const ruler = { below: 45, height: 46 };

/** Where on the ruler's edge its mark at `place` (m from the middle) is seen, pixels. */
export function markAt(scene: Scene, place: number): { x: number; y: number } {
  const [cosine, sine] = [Math.cos(scene.rulerLean), Math.sin(scene.rulerLean)];
  const along = place / scene.pixel;
  return {
    x: scene.middle.x + along * cosine - ruler.below * sine,
    y: scene.middle.y + along * sine + ruler.below * cosine,
  };
}

/**
 * The photograph, a PNG file.
 *
 * Light on the wall: the far field of N slits along the row, across it the beam's Gaussian, exp(−2 r²/w²); speckle, whose
 * intensity in one pixel has a gamma distribution (a mean of `looks` negative exponentials); daylight. The wall throws
 * back a share that varies by some percent, the ruler more, its marks little. The lens and the hand blur all of it
 * (normal distribution); then photon noise (variance = electrons), read noise, the full well, brightening where the camera does that, the sRGB curve, 8 bits.
 * How much of each there is was chosen by us.
 */
export function snapshot(seed: number, scene: Scene): Uint8Array {
  const random = seeded(seed);
  const { width, height } = snapshotSize;
  const pattern = patternOf(scene);
  const wall = wallOf(random);
  const laser = new Float32Array(width * height);
  const room = new Float32Array(width * height);
  const [cosine, sine] = [Math.cos(scene.lean), Math.sin(scene.lean)];
  for (let y = 0, i = 0; y < height; y++)
    for (let x = 0; x < width; x++, i++) {
      const [dx, dy] = [x - scene.middle.x, y - scene.middle.y];
      const across = dy * cosine - dx * sine;
      const beam = Math.exp(-2 * (across / scene.spot) ** 2);
      const share = wall(x, y) * rulerShare(scene, dx, dy);
      if (beam > 1e-4)
        laser[i] =
          scene.exposure *
          pattern(dx * cosine + dy * sine) *
          beam *
          speckle(random, scene.looks) *
          share;
      room[i] = scene.daylight * share;
    }
  blurred(laser, scene.blur);
  blurred(room, scene.blur);
  const data = new Uint8Array(3 * width * height);
  for (let i = 0; i < laser.length; i++)
    for (let c = 0; c < 3; c++) {
      const electrons = fullWell * (responses[c] * laser[i] + room[i]);
      const noise = Math.sqrt(electrons + readNoise ** 2) * random.normal();
      const light = Math.min(Math.max((electrons + noise) / fullWell, 0), 1);
      data[3 * i + c] = Math.round(255 * srgbFromLinear(light ** scene.brightening));
    }
  return encodePicture({ width, height, channels: 3, data });
}

/** Light of the pattern against pixels from its middle, 1 there: tabulated in quarters of a pixel. */
function patternOf({ count, width, spacing, wavelength, distance, pixel }: Scene) {
  const aperture = slits(count, { width, spacing });
  const steps = 4;
  const table = Float64Array.from({ length: steps * snapshotSize.width }, (_, k) => {
    const x = (k / steps) * pixel;
    return intensity(aperture, wavelength, x / Math.hypot(x, distance));
  });
  return (along: number) => table[Math.min(Math.round(Math.abs(along) * steps), table.length - 1)];
}

/** Share of the light that the wall throws back: 1 with unevenness of 3 %, some pixels to some tens of pixels wide. */
function wallOf(random: Random): (x: number, y: number) => number {
  const waves = Array.from({ length: 12 }, () => ({
    x: random.normal() / 12,
    y: random.normal() / 12,
    phase: 2 * Math.PI * random.uniform(),
  }));
  const each = 0.03 * Math.sqrt(2 / waves.length);
  return (x, y) =>
    waves.reduce((sum, one) => sum + each * Math.cos(one.x * x + one.y * y + one.phase), 1);
}

/** What the ruler does to that share: white, with dark marks, longer for half and whole centimetres. */
function rulerShare({ rulerLean, pixel }: Scene, dx: number, dy: number): number {
  const along = dx * Math.cos(rulerLean) + dy * Math.sin(rulerLean);
  const down = dy * Math.cos(rulerLean) - dx * Math.sin(rulerLean) - ruler.below;
  if (down < 0 || down > ruler.height) return 1;
  const millimetre = 0.001 / pixel;
  const marks = [
    [millimetre, 9],
    [5 * millimetre, 14],
    [10 * millimetre, 20],
  ];
  for (const [period, long] of marks) {
    const off = Math.abs(along - period * Math.round(along / period));
    if (down < long && off < 0.6) return 0.35;
  }
  return 1.3;
}

/** A mean of `looks` negative exponentials of mean 1. */
function speckle(random: Random, looks: number): number {
  let product = 1;
  for (let k = 0; k < looks; k++) product *= 1 - random.uniform();
  return -Math.log(Math.max(product, 1e-300)) / looks;
}

/** Blur a picture by a normal distribution, along its rows and then its columns. */
function blurred(picture: Float32Array, sigma: number): void {
  const { width, height } = snapshotSize;
  const reach = Math.ceil(3 * sigma);
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, k) =>
    Math.exp(-0.5 * ((k - reach) / sigma) ** 2),
  );
  const total = kernel.reduce((a, b) => a + b);
  const line = (start: number, step: number, length: number) => {
    const before = Float32Array.from({ length }, (_, k) => picture[start + k * step]);
    for (let k = 0; k < length; k++) {
      let sum = 0;
      for (let j = -reach; j <= reach; j++)
        sum += kernel[j + reach] * before[Math.min(Math.max(k + j, 0), length - 1)];
      picture[start + k * step] = sum / total;
    }
  };
  for (let y = 0; y < height; y++) line(y * width, 1, width);
  for (let x = 0; x < width; x++) line(x, width, height);
}
