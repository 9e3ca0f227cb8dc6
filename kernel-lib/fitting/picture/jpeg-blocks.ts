import { damagedJpeg, type JpegHeader, zigzag } from './jpeg-segments';

/** Reads the coded blocks of a sequential JPEG one after the other. */
export class JpegBlocks {
  private at: number;
  private bits = 0;
  private held = 0;
  /** Bytes asked for behind the end, since the last restart. */
  private empty = 0;
  private readonly predictions: Float64Array;
  private readonly coefficients = new Float32Array(64);

  constructor(
    private readonly bytes: Uint8Array,
    private readonly header: JpegHeader,
  ) {
    this.at = header.start;
    this.predictions = new Float64Array(header.components.length);
  }

  /** The 64 coefficients of the next block of a component, multiplied out; overwritten by the next call. */
  next(component: number, dc: number, ac: number): Float32Array {
    const { coefficients, header, predictions } = this;
    const quantisation = header.quantisation[header.components[component].quantisation];
    if (!quantisation) throw damagedJpeg('a table is missing');
    coefficients.fill(0);
    predictions[component] += this.signed(this.symbol(header.huffman[0][dc]));
    coefficients[0] = predictions[component] * quantisation[0];
    for (let k = 1; k < 64; k++) {
      const symbol = this.symbol(header.huffman[1][ac]);
      const size = symbol & 15;
      if (size === 0) {
        if (symbol !== 0xf0) break;
        k += 15;
        continue;
      }
      k += symbol >> 4;
      if (k > 63) throw damagedJpeg('a block is longer than 64 numbers');
      const place = zigzag[k];
      coefficients[place] = this.signed(size) * quantisation[place];
    }
    return coefficients;
  }

  /** Skip to behind the next restart marker. */
  restart(): void {
    this.held = 0;
    this.empty = 0;
    this.predictions.fill(0);
    const { bytes } = this;
    while (this.at + 1 < bytes.length) {
      if (bytes[this.at] === 0xff && bytes[this.at + 1] >= 0xd0 && bytes[this.at + 1] <= 0xd7) {
        this.at += 2;
        return;
      }
      this.at++;
    }
    throw damagedJpeg('it ends before its last row');
  }

  private fill(): void {
    const { bytes } = this;
    while (this.held <= 16) {
      let byte = 0;
      if (this.at < bytes.length) {
        byte = bytes[this.at];
        if (byte !== 0xff) this.at++;
        else if (bytes[this.at + 1] === 0) this.at += 2;
        // A marker: nothing follows, the last code is filled up with zeros.
        else byte = this.spent();
      } else byte = this.spent();
      this.bits = ((this.bits << 8) | byte) & 0xffffff;
      this.held += 8;
    }
  }

  private spent(): number {
    if (++this.empty > 64) throw damagedJpeg('it ends before its last row');
    return 0;
  }

  private symbol(table: Uint16Array | undefined): number {
    if (!table) throw damagedJpeg('a table is missing');
    this.fill();
    const entry = table[(this.bits >> (this.held - 16)) & 0xffff];
    const length = entry >> 8;
    if (length === 0) throw damagedJpeg('a code does not exist');
    this.held -= length;
    return entry & 0xff;
  }

  /** A number of so many bits; its first bit tells the sign. */
  private signed(size: number): number {
    if (size === 0) return 0;
    this.fill();
    this.held -= size;
    const value = (this.bits >> this.held) & ((1 << size) - 1);
    return value < 1 << (size - 1) ? value - (1 << size) + 1 : value;
  }
}

/** cosines[8 u + x] = ½ c(u) cos((2x + 1) u π / 16) of the inverse transform. */
const cosines = Float32Array.from({ length: 64 }, (_, k) => {
  const u = k >> 3;
  const share = u === 0 ? Math.SQRT1_2 : 1;
  return 0.5 * share * Math.cos(((2 * (k & 7) + 1) * u * Math.PI) / 16);
});

const half = new Float32Array(64);

/** Inverse cosine transform of a block into a plane, levels shifted to 0…255. */
export function inverseTransform(
  block: Float32Array,
  plane: Uint8ClampedArray,
  at: number,
  stride: number,
): void {
  let last = 63;
  while (last > 0 && block[last] === 0) last--;
  if (last === 0) {
    const level = block[0] / 8 + 128;
    for (let y = 0; y < 8; y++) plane.fill(level, at + y * stride, at + y * stride + 8);
    return;
  }
  let rows = 0;
  for (let v = 0; v < 8; v++) {
    const b = 8 * v;
    let top = 7;
    while (top >= 0 && block[b + top] === 0) top--;
    if (top >= 0) rows = v + 1;
    for (let x = 0; x < 8; x++) {
      let sum = 0;
      for (let u = 0; u <= top; u++) sum += block[b + u] * cosines[8 * u + x];
      half[b + x] = sum;
    }
  }
  for (let y = 0; y < 8; y++) {
    const line = at + y * stride;
    for (let x = 0; x < 8; x++) {
      let sum = 128;
      for (let v = 0; v < rows; v++) sum += half[8 * v + x] * cosines[8 * v + y];
      plane[line + x] = sum;
    }
  }
}
