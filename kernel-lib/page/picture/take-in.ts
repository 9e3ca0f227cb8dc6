import type { PictureRows } from '../../fitting/picture/picture-rows';
import { smallPixels, withoutMetadata } from '../../fitting/picture/private-picture';
import { readPicture } from '../../fitting/picture/read-picture';
import { encodePicture } from '../../fitting/slits/slit-picture';
import { type FilesBeside, isFault } from '../net/host';

/** What is kept of a photograph has at most so many pixels along its longer side. */
const mostPixels = 2048;

/** A file larger than this is no photograph of a camera or a phone, bytes. */
const largestFile = 80e6;

/** More than browsers draw at once, pixels. */
const mostDrawn = 60e6;

/**
 * A photograph as it is kept beside the notebook: a PNG of its pixels alone, upright, no larger than is needed, without
 * position, date or device. A PNG that is small enough keeps its pixels as they are; whatever else the browser can draw
 * (JPEG; HEIC, WebP or AVIF where it knows them) is drawn and read back.
 *
 * @throws RangeError, each with a sentence that says what to do, when it cannot be read or is too large
 */
export async function keptPicture(file: Blob): Promise<Uint8Array> {
  if (file.size > largestFile)
    throw new RangeError(
      `This file has ${Math.round(file.size / 1e6)} MB, more than a photograph has. Choose the picture itself, or make it smaller first: up to ${largestFile / 1e6} MB are taken.`,
    );
  const bytes = new Uint8Array(await file.arrayBuffer());
  const opened = attempt(() => readPicture(bytes));
  if ('value' in opened && opened.value.kind === 'PNG') {
    const { width, height } = opened.value;
    const whole = withoutMetadata(bytes);
    if (Math.max(width, height) <= mostPixels) {
      // Read once, so that a damaged one is told now and not in a cell.
      opened.value.each(() => {});
      return whole;
    }
    return encodePicture(smallPixels(opened.value, { most: mostPixels }));
  }
  // A JPEG that is too large says so before it is drawn.
  if ('value' in opened) checkPixels(opened.value);
  const drawn = await createImageBitmap(file).catch(() => undefined);
  if (!drawn) throw 'fault' in opened ? opened.fault : damaged();
  try {
    checkPixels(drawn);
    return encodePicture(smallPixels(drawnRows(drawn), { most: mostPixels }));
  } finally {
    drawn.close();
  }
}

function attempt<T>(call: () => T): { readonly value: T } | { readonly fault: unknown } {
  try {
    return { value: call() };
  } catch (fault) {
    return { fault };
  }
}

const damaged = () =>
  new RangeError(
    'This picture could not be opened: the file is damaged or not whole. Copy it from the camera again, or photograph once more.',
  );

function checkPixels({ width, height }: { readonly width: number; readonly height: number }) {
  if (width * height <= mostDrawn) return;
  throw new RangeError(
    `This picture has ${Math.round((width * height) / 1e6)} million pixels (${width} × ${height}); up to ${mostDrawn / 1e6} million are taken here. Cut it to the pattern and the ruler first.`,
  );
}

/** Rows that are drawn and read back together. */
const atOnce = 128;

/** The pixels of a drawn picture, row by row: a few at a time, for a phone has little memory. */
function drawnRows(drawn: ImageBitmap): PictureRows {
  const { width, height } = drawn;
  const canvas = document.createElement('canvas');
  canvas.width = width;
  canvas.height = Math.min(atOnce, height);
  const brush = canvas.getContext('2d', { willReadFrequently: true, colorSpace: 'srgb' });
  if (!brush) throw cannotDraw();
  checkReadBack(brush);
  return {
    ...{ kind: 'JPEG', width, height, channels: 3, full: 255, orientation: 1 },
    each(take) {
      const row = new Uint8Array(3 * width);
      for (let top = 0; top < height; top += atOnce) {
        const rows = Math.min(atOnce, height - top);
        brush.drawImage(drawn, 0, top, width, rows, 0, 0, width, rows);
        const { data } = brush.getImageData(0, 0, width, rows);
        for (let y = 0; y < rows; y++) {
          for (let x = 0; x < width; x++) {
            const at = 4 * (y * width + x);
            row.set(data.subarray(at, at + 3), 3 * x);
          }
          take(row, top + y);
        }
      }
    },
  };
}

const cannotDraw = () =>
  new RangeError(
    'This browser does not draw the picture: close other tabs and try again, or cut the picture to the pattern first.',
  );

/** Browsers that hide which device they run on change what is read back: such numbers are no light. */
function checkReadBack(brush: CanvasRenderingContext2D): void {
  const greys = [3, 77, 128, 190, 251];
  for (const [x, grey] of greys.entries()) {
    brush.fillStyle = `rgb(${grey} ${grey} ${grey})`;
    brush.fillRect(x, 0, 1, 1);
  }
  const { data } = brush.getImageData(0, 0, greys.length, 1);
  if (greys.every((grey, x) => [0, 1, 2].every((c) => data[4 * x + c] === grey))) return;
  throw new RangeError(
    'This browser changes the numbers of pictures to hide which device it runs on. Let it read pictures on this page (its setting against fingerprinting), or save the photograph as PNG and choose that.',
  );
}

/** Keep it under the next free name. That of the camera is not used: it tells a date. @returns the name */
export async function keepPicture(bytes: Uint8Array, beside: FilesBeside): Promise<string> {
  const there = new Set(await beside.names());
  for (let number = 1; ; number++) {
    const name = `photograph-${number}.png`;
    if (there.has(name)) continue;
    try {
      await beside.keep(name, bytes);
      return name;
    } catch (error) {
      if (!isFault(error, 'changed')) throw error;
    }
  }
}
