/** Names of the parameters, in the order of the fit. One slit has no spacing and no fringes. */
export const slitParameters = [
  'width',
  'amplitude',
  'background',
  'centre',
  'spacing',
  'visibility',
] as const;

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
   * derivatives too.
   */
  evaluate(
    p: readonly number[],
    weights: Float64Array,
    out: Float64Array,
    columns?: readonly Float64Array[],
  ): void {
    const [width, amplitude, background, centre, spacing = 0, visibility = 1] = p;
    const { wavelength, focalLength } = this.geometry;
    const { x, orders } = this;
    const shares = this.shares(visibility);
    const perWidth = Math.PI / wavelength;
    const perSpacing = (2 * Math.PI) / wavelength;
    for (let i = 0; i < x.length; i++) {
      const offset = x[i] - centre;
      const t = focalLength === undefined ? 0 : offset / focalLength;
      const cosine = focalLength === undefined ? 1 : 1 / Math.sqrt(1 + t * t);
      const s = focalLength === undefined ? offset : t * cosine;

      const u = perWidth * width * s;
      const small = Math.abs(u) < 1e-3;
      const sine = Math.sin(u);
      const sinc = small ? 1 - (u * u) / 6 : sine / u;
      const envelope = sinc * sinc;

      let fringes = shares.constant;
      let slope = 0;
      let fading = 0;
      if (orders > 0) {
        const phase = perSpacing * spacing * s;
        const c1 = Math.cos(phase);
        const s1 = Math.sin(phase);
        let ck = c1;
        let sk = s1;
        for (let k = 1; k <= orders; k++) {
          fringes += shares.cosine[k] * ck;
          slope -= shares.sine[k] * sk;
          fading += shares.fading[k] * ck;
          const next = ck * c1 - sk * s1;
          sk = sk * c1 + ck * s1;
          ck = next;
        }
      }
      const w = weights[i];
      out[i] = w * (background + amplitude * envelope * fringes);
      if (!columns) continue;
      const bend = small ? (-2 * u) / 3 : (2 * sinc * (Math.cos(u) - sinc)) / u;
      const perS = focalLength === undefined ? 1 : (cosine * cosine * cosine) / focalLength;
      const byPhase = amplitude * envelope * slope * perSpacing;
      const byEnvelope = amplitude * bend * fringes * perWidth;
      columns[0][i] = w * byEnvelope * s;
      columns[1][i] = w * envelope * fringes;
      columns[2][i] = w;
      columns[3][i] = -w * (byEnvelope * width + byPhase * spacing) * perS;
      if (columns.length < 5) continue;
      columns[4][i] = w * byPhase * s;
      columns[5][i] = w * amplitude * envelope * fading;
    }
  }

  /** Weights of the cosines, of their slopes, and of their change with V. */
  private shares(visibility: number) {
    const n = this.count;
    const cosine = new Float64Array(n);
    const sine = new Float64Array(n);
    const fading = new Float64Array(n);
    for (let k = 1; k < n; k++) {
      const share = (2 * (n - k)) / (n * n);
      cosine[k] = share * visibility ** (k * k);
      sine[k] = k * cosine[k];
      fading[k] = share * k * k * visibility ** (k * k - 1);
    }
    return { constant: 1 / n, cosine, sine, fading };
  }
}
