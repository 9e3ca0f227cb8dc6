import { cosPi, sinPi } from '../numerics/sinc';

/**
 * sin πxu and cos πxu at evenly spaced u, block by block, by the addition theorem: the phase of point k is
 * that of the block's first point plus k steps, and cos and sin of k steps are tabulated once for all blocks.
 */
export class EvenSines {
  private readonly cosSteps: Float64Array;
  private readonly sinSteps: Float64Array;

  constructor(
    private readonly x: number,
    block: number,
    du: number,
  ) {
    this.cosSteps = Float64Array.from({ length: block }, (_, k) => cosPi(x * k * du));
    this.sinSteps = Float64Array.from({ length: block }, (_, k) => sinPi(x * k * du));
  }

  /** sin πxu at the points of the block that starts at u. */
  fill(sines: Float64Array, u: number): void {
    const { cosSteps, sinSteps } = this;
    const sin = sinPi(this.x * u);
    const cos = cosPi(this.x * u);
    for (let k = 0; k < sines.length; k++) sines[k] = sin * cosSteps[k] + cos * sinSteps[k];
  }

  /** Adds size · t exp(−iπxu), real and imaginary part, at the points of the block that starts at u. */
  add(re: Float64Array, im: Float64Array, size: Float64Array, t: Phasor, u: number): void {
    const { cosSteps, sinSteps } = this;
    const sin = sinPi(this.x * u);
    const cos = cosPi(this.x * u);
    const startRe = t.re * cos + t.im * sin;
    const startIm = t.im * cos - t.re * sin;
    for (let k = 0; k < re.length; k++) {
      const c = cosSteps[k];
      const s = sinSteps[k];
      re[k] += size[k] * (startRe * c + startIm * s);
      im[k] += size[k] * (startIm * c - startRe * s);
    }
  }
}

interface Phasor {
  readonly re: number;
  readonly im: number;
}
