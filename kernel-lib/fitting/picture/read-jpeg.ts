import decoder from '@cwasm/jpeg-turbo/jpeg-turbo.wasm';
import { checkSize, exifOrientation, type PictureRows } from './picture-rows';

/** A progressive picture takes three times the memory, which is complete only when all of it is decoded. */
const mostProgressive = 40e6;

/**
 * Read a JPEG: grey or colour of 8 bits, sequential or progressive. libjpeg-turbo decodes it, in a memory of its own that
 * is given back afterwards: a byte for each number of each pixel (36 MB for 12 million pixels in colour), of a
 * progressive one up to three.
 *
 * @throws RangeError when the file is damaged, cut short, too large, or of a rare kind
 * @see ITU-T T.81, annex B, for the segments (from memory)
 */
export function readJpeg(bytes: Uint8Array): PictureRows {
  const { width, height, bits, frame, components, orientation } = readHead(bytes);
  checkSize(width, height);
  if (bits !== 8 || frame > 2 || (components !== 1 && components !== 3)) {
    throw new RangeError(
      `This JPEG has ${components} components of ${bits} bits in coding ${frame}: only grey and colour pictures of 8 bits, sequential or progressive, are read. Save it as an ordinary JPEG or as PNG.`,
    );
  }
  if (frame === 2 && width * height > mostProgressive) {
    throw new RangeError(
      `This JPEG is progressive and has ${(width * height) / 1e6} million pixels; of this kind at most ${mostProgressive / 1e6} million are read. Save it without "progressive", or cut it to the pattern.`,
    );
  }
  return {
    kind: 'JPEG',
    width,
    height,
    channels: components,
    full: 255,
    orientation,
    each(take) {
      const stride = width * components;
      const pixels = decode(bytes, width, height, components);
      for (let y = 0; y < height; y++) take(pixels.subarray(y * stride, (y + 1) * stride), y);
    },
  };
}

/** What a JPEG says before its pixels. */
interface Head {
  readonly width: number;
  readonly height: number;
  readonly bits: number;
  /** 0 and 1 are sequential, 2 is progressive; others are rare. */
  readonly frame: number;
  readonly components: number;
  readonly orientation: number;
}

/** Walk through the segments up to the first scan. */
function readHead(bytes: Uint8Array): Head {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let head: Omit<Head, 'orientation'> | undefined;
  let orientation = 1;
  for (let at = 2; at + 4 <= bytes.length; ) {
    if (bytes[at] !== 0xff) throw damaged('a segment does not begin where it should');
    const marker = bytes[at + 1];
    if (marker === 0xff) {
      at++;
      continue;
    }
    const end = at + 2 + view.getUint16(at + 2);
    const body = bytes.subarray(at + 4, end);
    if (end > bytes.length) break;
    if (marker === 0xda) {
      if (!head) throw damaged('its size is missing');
      return { ...head, orientation };
    }
    if (marker === 0xe1 && String.fromCharCode(...body.subarray(0, 4)) === 'Exif')
      orientation = exifOrientation(body.subarray(6));
    const isFrame = marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
    if (isFrame && body.length >= 6) {
      head = {
        width: (body[3] << 8) | body[4],
        height: (body[1] << 8) | body[2],
        bits: body[0],
        frame: marker - 0xc0,
        components: body[5],
      };
    }
    at = end;
  }
  throw damaged('it ends before its pixels');
}

const damaged = (why: string) =>
  new RangeError(`This JPEG is damaged: ${why}. Copy it from the camera again.`);

/** What libjpeg-turbo's TurboJPEG interface has in this build. */
interface Turbo {
  readonly memory: WebAssembly.Memory;
  malloc(size: number): number;
  tjInitDecompress(): number;
  /** 0 when all went well. */
  tjDecompress2(
    handle: number,
    source: number,
    size: number,
    target: number,
    width: number,
    pitch: number,
    height: number,
    format: number,
    flags: number,
  ): number;
}

/** Numbers of TurboJPEG's pixel formats: red, green, blue; grey. */
const pixelFormat = { 3: 0, 1: 6 };

let compiled: WebAssembly.Module | undefined;

/** All pixels, in the decoder's own memory, which nobody else writes to. */
function decode(bytes: Uint8Array, width: number, height: number, channels: 1 | 3): Uint8Array {
  // So small that browsers compile it in their main thread too.
  compiled ??= new WebAssembly.Module(Uint8Array.from(atob(decoder), (c) => c.charCodeAt(0)));
  const { exports } = new WebAssembly.Instance(compiled, outside);
  const turbo = exports as unknown as Turbo;
  const size = width * height * channels;
  const source = turbo.malloc(bytes.length);
  const target = turbo.malloc(size) >>> 0;
  if (source === 0 || target === 0) {
    throw new RangeError(
      `There is not enough memory for this JPEG of ${width} × ${height} pixels. Close other programs, or cut it to the pattern.`,
    );
  }
  new Uint8Array(turbo.memory.buffer).set(bytes, source);
  const pitch = width * channels;
  let status: number;
  try {
    const handle = turbo.tjInitDecompress();
    const place = [target, width, pitch, height, pixelFormat[channels], 0] as const;
    status = turbo.tjDecompress2(handle, source, bytes.length, ...place);
  } catch {
    status = -1;
  }
  if (status !== 0) throw damaged('its pixels cannot be read, or not all of them are there');
  return new Uint8Array(turbo.memory.buffer, target, size);
}

const refuse = () => {
  throw new Error('a decoder has nothing to do outside');
};

/** What the decoder may ask of its surroundings: nothing. Where it gives up it jumps back, and here it throws. */
const outside = {
  env: { setjmp: () => 0, longjmp: refuse },
  wasi_snapshot_preview1: {
    environ_sizes_get: () => 0,
    environ_get: refuse,
    proc_exit: refuse,
    fd_close: refuse,
    fd_seek: refuse,
    fd_write: refuse,
  },
};
