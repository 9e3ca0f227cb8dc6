import { encode } from 'fast-png';
import type { Random } from '../../numerics/random';
import { requirePositive, requireWhole } from '../../numerics/require';
import { srgbFromLinear } from '../picture/srgb-curve';
import type { BlurShape } from './blur';
import { softPattern } from './slit-profile';

/** A picture in memory: rows from the top, 8 bits, `channels` numbers a pixel. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  readonly channels: 1 | 3;
  readonly data: Uint8Array;
}

/** What a computed photograph of a pattern is made of. SI units. */
export interface SlitPictureSetting {
  readonly count: number;
  /** Slit width, m. */
  readonly slitWidth: number;
  /** Centre to centre, m. */
  readonly spacing: number;
  readonly wavelength: number;
  readonly focalLength: number;
  /** Size of the picture, pixels. */
  readonly width: number;
  readonly height: number;
  /** m per pixel. */
  readonly pixel: number;
  /** rad by which the camera was turned, default 0. */
  readonly tilt?: number;
  /** Signal of the middle in full scales, were the pattern sharp; above 1 it saturates. Default 0.8. */
  readonly exposure?: number;
  /** Stray light and dark signal, full scales, default 0.02. */
  readonly background?: number;
  /** Of neighbouring slits, as a blur leaves it that acts on the whole pattern; default 0.95. One slit has none: see blur. */
  readonly visibility?: number;
  /** The blur itself, in place of the visibility: its full width at half height on the screen, m. */
  readonly blur?: number;
  /** 'box', as a source slit has it (default), or 'gaussian'. */
  readonly blurShape?: BlurShape;
  /** Electrons of a full pixel, default 6000: photon noise is their root. */
  readonly fullWell?: number;
  /** Electrons, default 12. */
  readonly readNoise?: number;
  /** Share of the signal that is lost at the corners, growing with the square of the radius; default 0. */
  readonly vignetting?: number;
  /** Height of the lit stripe as a share of the picture's, default 1: everywhere. */
  readonly litHeight?: number;
  /** How strongly red, green and blue see the light; left out: one grey channel. */
  readonly colour?: readonly [red: number, green: number, blue: number];
}

/**
 * A photograph of a pattern as a camera would take it, computed, drawn from a seeded stream. It is no real photograph;
 * say so wherever it is shown.
 *
 * Order of things, for each pixel and channel: pattern of N slits along the turned axis, blurred as in `slitProfile`; lit
 * stripe, vignetting, background; photon noise (normal, variance = electrons) and read noise; cut at the full well; sRGB
 * curve; 8 bits.
 *
 * @param random stream, such as `seeded(draw.seed('picture'))`
 * @param setting slits, geometry, camera
 * @returns the picture; `encodePicture` turns it into a PNG file
 * @throws RangeError for sizes that cannot be
 * @example
 * const pair = { count: 2, slitWidth: um(40), spacing: um(100), wavelength: nm(546.1), focalLength: 0.5 };
 * slitPicture(seeded(1), { ...pair, width: 60, height: 10, pixel: um(20) }).data.length // 600
 */
export function slitPicture(random: Random, setting: SlitPictureSetting): Picture {
  const { width, height, pixel, tilt = 0, exposure = 0.8, background = 0.02 } = setting;
  const { fullWell = 6000, readNoise = 12, vignetting = 0, litHeight = 1, colour } = setting;
  requireWhole('width', width, 1, 20000);
  requireWhole('height', height, 1, 20000);
  requirePositive('The pixel size', pixel, 'give it in metres');
  requireWhole('The full well', fullWell, 1, 1e7);
  const channels = colour ? 3 : 1;
  const responses = colour ?? [1];
  const [midX, midY] = [(width - 1) / 2, (height - 1) / 2];
  const corner = midX * midX + midY * midY || 1;
  const pattern = patternTable(setting);
  const codes = Uint8Array.from({ length: fullWell + 1 }, (_, n) =>
    Math.round(255 * srgbFromLinear(n / fullWell)),
  );
  const data = new Uint8Array(width * height * channels);
  let at = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const along = (x - midX) * Math.cos(tilt) + (y - midY) * Math.sin(tilt);
      const across = (y - midY) * Math.cos(tilt) - (x - midX) * Math.sin(tilt);
      const shade = 1 - (vignetting * ((x - midX) ** 2 + (y - midY) ** 2)) / corner;
      const lit = litHeight >= 1 ? 1 : Math.exp(-((across / (0.5 * litHeight * height)) ** 6));
      const signal = exposure * pattern(along) * lit;
      for (const response of responses) {
        const electrons = fullWell * shade * (response * signal + background);
        const noise = Math.sqrt(electrons + readNoise ** 2) * random.normal();
        const read = Math.min(Math.max(Math.round(electrons + noise), 0), fullWell);
        data[at++] = codes[read];
      }
    }
  }
  return { width, height, channels, data };
}

/**
 * The picture as a PNG file.
 *
 * @returns the bytes of the file
 * @example readPicture(encodePicture({ width: 2, height: 1, channels: 1, data: Uint8Array.of(0, 255) })).width // 2
 */
export function encodePicture({ width, height, channels, data }: Picture): Uint8Array {
  return encode({ width, height, channels, depth: 8, data }, { zlib: { level: 9 } });
}

/** Pattern against pixels from the middle, tabulated finely and read by straight lines. It is even. */
function patternTable(setting: SlitPictureSetting): (along: number) => number {
  const { count, slitWidth, spacing, pixel, width, height } = setting;
  requireWhole('count', count, 1, 1000);
  requirePositive('The slit width', slitWidth, 'give it in metres');
  const reach = Math.ceil(Math.hypot(width, height) / 2) + 2;
  const perPixel = 16;
  const { wavelength, focalLength, visibility, blur, blurShape } = setting;
  const source = { visibility, blur, blurShape };
  const pattern = softPattern({
    count,
    width: slitWidth,
    spacing,
    wavelength,
    focalLength,
    ...source,
  });
  const table = Float64Array.from({ length: reach * perPixel + 1 }, (_, k) =>
    pattern((k / perPixel) * pixel),
  );
  return (along) => {
    const place = Math.abs(along) * perPixel;
    const k = Math.floor(place);
    return table[k] + (place - k) * (table[k + 1] - table[k]);
  };
}
