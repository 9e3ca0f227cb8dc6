import { SineCosine } from './sine-cosine';

/** Names of the parameters, in the order of the fit. One slit has no spacing and no fringes. */
export const slitParameters = [
  'width',
  'amplitude',
  'background',
  'centre',
  'spacing',
  'visibility',
] as const;

/** Name of a parameter that `fitSlits` finds or holds. */
export type SlitParameter = (typeof slitParameters)[number];

/** How positions become direction sines. */
export interface SlitGeometry {
  /** λ, m. */
  readonly wavelength: number;
  /** f, m; undefined: x is already the direction sine. */
  readonly focalLength?: number;
}

/**
 * The pattern of N equal slits with partial visibility, and its derivatives, over many points at once.
 *
 *   y = B + A sinc²(π a s/λ) F(2π d s/λ),  F(φ) = 1/N + (2/N²) Σ (N − k) V^(k²) cos kφ, k = 1 … N − 1
 *   s = sin arctan((x − x₀)/f)
 *
 * V = 1 gives the far field of N slits. V^(k²) is what a Gaussian source or blur does to slits k spacings apart, and
 * what any other narrow one does to second order; for two slits V is the fringe visibility itself.
 *
 * @see DESIGN's N-slit formula (common practice, no source); the V = 1 case is checked against `intensity`
 */
export class SlitModel {
  private readonly orders: number;

  constructor(
    private readonly x: Float64Array,
    readonly count: number,
    private readonly geometry: SlitGeometry,
  ) {
    this.orders = count - 1;
  }

  /** How many parameters the model has: 4 for one slit, else 6. */
  get parameterCount(): number {
    return this.count === 1 ? 4 : 6;
  }

  /**
   * The model at `p` (in the order of `slitParameters`), times `weights`, into `out`; with `columns`, its
   * derivatives too, those whose columns are there.
   */
  evaluate(
    p: readonly number[],
    weights: Float64Array,
    out: Float64Array,
    columns?: readonly (Float64Array | undefined)[],
  ): void {
    const [width, amplitude, background, centre, spacing = 0, visibility = 1] = p;
    const { wavelength, focalLength } = this.geometry;
    const { x, orders } = this;
    const { constant, even, odd, fade } = this.shares(visibility);
    const perWidth = Math.PI / wavelength;
    const perSpacing = (2 * Math.PI) / wavelength;
    const turn = new SineCosine();
    const near = focalLength === undefined;
    const perFocal = near ? 0 : 1 / focalLength;
    const slopes = columns !== undefined;
    const [byWidth, byAmplitude, byBackground, byCentre, bySpacing, byVisibility] = columns ?? [];
    for (let i = 0; i < x.length; i++) {
      const offset = x[i] - centre;
      const t = offset * perFocal;
      const cosine = 1 / Math.sqrt(1 + t * t);
      const s = near ? offset : t * cosine;

      const u = perWidth * width * s;
      const small = Math.abs(u) < 1e-3;
      turn.set(u);
      const perU = small ? 0 : 1 / u;
      const sinc = small ? 1 - (u * u) / 6 : turn.sine * perU;
      const bend = small ? (-2 * u) / 3 : 2 * sinc * (turn.cosine - sinc) * perU;
      const envelope = sinc * sinc;

      let fringes = constant;
      let slope = 0;
      let fading = 0;
      if (orders > 0) {
        turn.set(perSpacing * spacing * s);
        const c1 = turn.cosine;
        const s1 = turn.sine;
        let ck = c1;
        let sk = s1;
        for (let k = 1; k <= orders; k++) {
          fringes += even[k] * ck;
          slope -= odd[k] * sk;
          fading += fade[k] * ck;
          const next = ck * c1 - sk * s1;
          sk = sk * c1 + ck * s1;
          ck = next;
        }
      }
      const w = weights[i];
      const shape = envelope * fringes;
      out[i] = w * (background + amplitude * shape);
      if (!slopes) continue;
      const perS = near ? 1 : cosine * cosine * cosine * perFocal;
      const byPhase = w * amplitude * envelope * slope * perSpacing;
      const byEnvelope = w * amplitude * bend * fringes * perWidth;
      if (byWidth) byWidth[i] = byEnvelope * s;
      if (byAmplitude) byAmplitude[i] = w * shape;
      if (byBackground) byBackground[i] = w;
      if (byCentre) byCentre[i] = -(byEnvelope * width + byPhase * spacing) * perS;
      if (bySpacing) bySpacing[i] = byPhase * s;
      if (byVisibility) byVisibility[i] = w * amplitude * envelope * fading;
    }
  }

  /** Weights of the cosines, of their slopes, and of their change with V. */
  private shares(visibility: number) {
    const n = this.count;
    const even = new Float64Array(n);
    const odd = new Float64Array(n);
    const fade = new Float64Array(n);
    for (let k = 1; k < n; k++) {
      const share = (2 * (n - k)) / (n * n);
      even[k] = share * visibility ** (k * k);
      odd[k] = k * even[k];
      fade[k] = share * k * k * visibility ** (k * k - 1);
    }
    return { constant: 1 / n, even, odd, fade };
  }
}
