import { decode } from 'jpeg-js';
import { inverseTransform, JpegBlocks } from './jpeg-blocks';
import { damagedJpeg, type JpegHeader, readJpegSegments } from './jpeg-segments';
import { checkSize, type PictureRows } from './picture-kind';

/** Above this a progressive picture, which is only complete when all of it is decoded, is refused. */
const mostProgressive = 24e6;

/**
 * Read a JPEG. A sequential one (what cameras and telephones write) is decoded row of blocks by row of blocks, so that
 * memory does not grow with its height; a progressive one is decoded as a whole, up to 24 million pixels.
 *
 * @throws RangeError when the file is damaged, cut short, too large, or of a rare kind
 * @see ITU-T T.81, annexes A and F (from memory)
 */
export function readJpeg(bytes: Uint8Array): PictureRows {
  const header = readJpegSegments(bytes);
  const { width, height, bits, frame, components, scan, orientation } = header;
  checkSize(width, height);
  if (bits !== 8 || frame > 2 || (components.length !== 1 && components.length !== 3)) {
    throw new RangeError(
      `This JPEG has ${components.length} components of ${bits} bits in coding ${frame}: only grey and colour pictures of 8 bits, sequential or progressive, are read. Save it as an ordinary JPEG or as PNG.`,
    );
  }
  const sequential = frame < 2 && scan.length === components.length;
  if (!sequential && width * height > mostProgressive) {
    throw new RangeError(
      `This JPEG is progressive and has ${(width * height) / 1e6} million pixels: it cannot be read row by row. Save it without "progressive", or cut it to the pattern.`,
    );
  }
  return {
    kind: 'JPEG',
    width,
    height,
    channels: components.length === 1 ? 1 : 3,
    full: 255,
    orientation,
    each: (take) => (sequential ? rows(bytes, header, take) : wholeRows(bytes, header, take)),
  };
}

function rows(
  bytes: Uint8Array,
  header: JpegHeader,
  take: (row: ArrayLike<number>, y: number) => void,
) {
  const { width, height, components, scan, restart } = header;
  const single = components.length === 1;
  const across = single ? 1 : Math.max(...components.map((c) => c.across));
  const down = single ? 1 : Math.max(...components.map((c) => c.down));
  const unitsAcross = Math.ceil(width / (8 * across));
  const unitsDown = Math.ceil(height / (8 * down));
  const planes = components.map((c) => {
    const [h, v] = single ? [1, 1] : [c.across, c.down];
    const stride = unitsAcross * h * 8;
    return { h, v, stride, data: new Uint8ClampedArray(stride * v * 8) };
  });
  const blocks = new JpegBlocks(bytes, header);
  const row = new Uint8ClampedArray(width * components.length);
  let untilRestart = restart;
  for (let unitY = 0; unitY < unitsDown; unitY++) {
    for (let unitX = 0; unitX < unitsAcross; unitX++) {
      if (restart > 0 && untilRestart-- === 0) {
        blocks.restart();
        untilRestart = restart - 1;
      }
      for (const { component, dc, ac } of scan) {
        const plane = planes[component];
        for (let v = 0; v < plane.v; v++) {
          for (let h = 0; h < plane.h; h++) {
            const at = v * 8 * plane.stride + (unitX * plane.h + h) * 8;
            inverseTransform(blocks.next(component, dc, ac), plane.data, at, plane.stride);
          }
        }
      }
    }
    for (let k = 0; k < 8 * down && unitY * 8 * down + k < height; k++) {
      const lines = planes.map(({ h, v, stride, data }) => ({
        from: Math.floor((k * v) / down) * stride,
        step: h / across,
        data,
      }));
      fillRow(row, width, lines, header.transformed);
      take(row, unitY * 8 * down + k);
    }
  }
}

interface Line {
  readonly from: number;
  readonly step: number;
  readonly data: Uint8ClampedArray;
}

/** One row of pixels: grey as it is; colour from luminance and two differences (JFIF, from memory). */
function fillRow(
  row: Uint8ClampedArray,
  width: number,
  lines: readonly Line[],
  transformed: boolean,
) {
  if (lines.length === 1) {
    row.set(lines[0].data.subarray(lines[0].from, lines[0].from + width));
    return;
  }
  const [first, second, third] = lines;
  for (let x = 0; x < width; x++) {
    const a = first.data[first.from + Math.floor(x * first.step)];
    const b = second.data[second.from + Math.floor(x * second.step)];
    const c = third.data[third.from + Math.floor(x * third.step)];
    row[3 * x] = transformed ? a + 1.402 * (c - 128) : a;
    row[3 * x + 1] = transformed ? a - 0.344136 * (b - 128) - 0.714136 * (c - 128) : b;
    row[3 * x + 2] = transformed ? a + 1.772 * (b - 128) : c;
  }
}

function wholeRows(
  bytes: Uint8Array,
  header: JpegHeader,
  take: (row: ArrayLike<number>, y: number) => void,
) {
  const { width, height, components } = header;
  const channels = components.length;
  const picture = decodeWhole(bytes, header.transformed);
  const row = new Uint8Array(width * channels);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      for (let c = 0; c < channels; c++) row[channels * x + c] = picture[4 * (y * width + x) + c];
    }
    take(row, y);
  }
}

function decodeWhole(bytes: Uint8Array, colorTransform: boolean): Uint8Array {
  try {
    const limits = { maxResolutionInMP: 25, maxMemoryUsageInMB: 1024, tolerantDecoding: false };
    return decode(bytes, { useTArray: true, formatAsRGBA: true, colorTransform, ...limits }).data;
  } catch (error) {
    throw damagedJpeg((error as Error).message);
  }
}
