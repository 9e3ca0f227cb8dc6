import { requirePositive } from '../../numerics/require';
import type { Fitted } from '../fit-result';
import { type BlurShape, blurPlaces } from './blur';

/** Less light than this is none: a power of it would have no slope. */
const darkest = 1e-6;

/** Names of the parameters, in the order of the fit. One slit has no spacing and no fringes. */
export const slitParameters = [
  'width',
  'amplitude',
  'background',
  'centre',
  'spacing',
  'visibility',
  'blur',
  'slope',
  'exponent',
  'falloff',
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
 * The blurred pattern of N equal slits on a sloping ground, and its derivatives, over many points at once.
 *
 *   y = B + G (x − x₀) + A ⟨sinc²(π a s/λ) F(2π d s/λ)⟩
 *   F(φ) = Σ c_k V^(k²) cos kφ, k = 0 … N − 1; evenly lit c₀ = 1/N, c_k = 2 (N − k)/N²
 *   s = sin arctan((x − x₀)/f)
 *
 * With a falloff q other than 0 the slits are lit by a beam of normal profile whose middle falls on theirs, as a laser's
 * does: the field in slit j, at κ_j = 2j/(N − 1) − 1 of the way from the middle to the outermost, is a_j = exp(−q κ_j²),
 * and c_k = 2 Σ a_j a_(j+k) / (Σ a_j)², half of it for k = 0. So q = (D/w)², D from the middle to the outermost slit, w the
 * beam's radius where its irradiance is 1/e² of the middle's; the outermost slits have exp(−2q) of the middle's light.
 * Each slit is taken as lit alike over its own width.
 *
 * With an exponent γ other than 1, of a camera whose curve was undone wrongly, y^γ stands in place of y: for signals that
 * are shares of full scale.
 *
 * ⟨ ⟩ is the average over a blur of full width b at half height, box or normal distribution, about s: b/f in s, so that
 * on the screen it is b where the pattern has its middle. All of the pattern is blurred, the envelope too: exact for a
 * source slit, whose points move the pattern in s; for a blur on the film so far as s is (x − x₀)/f over its width.
 *
 * V is contrast that is lost for other reasons, without blur; 1 is the far field of N equal slits, unblurred. V^(k²) is
 * what random phases that grow with the distance leave of slits k spacings apart; for two slits V is their contrast.
 *
 * The parameter for the blur is b², negative where noise asks for a pattern sharper than it can be: see `blurPlaces`.
 *
 * @see DESIGN's N-slit formula (common practice, no source); the V = 1 case is checked against `intensity`. The beam's
 * radius is that of ISO 11146's Gaussian beam (from memory)
 */
export class SlitModel {
  private readonly orders: number;

  constructor(
    private readonly x: Float64Array,
    readonly count: number,
    private readonly geometry: SlitGeometry,
    private readonly shape: BlurShape = 'box',
  ) {
    this.orders = count - 1;
  }

  /**
   * The model at `p` (in the order of `slitParameters`, b² for the blur; what is left out is that of one sharp slit on
   * level ground), times `weights`, into `out`; with `columns`, its derivatives too, those whose columns are there.
   */
  evaluate(
    p: readonly number[],
    weights: Float64Array,
    out: Float64Array,
    columns?: readonly (Float64Array | undefined)[],
  ): void {
    const [width, amplitude, background, centre, spacing = 0, visibility = 1] = p;
    const [blur = 0, ground = 0, exponent = 1, falloff = 0] = p.slice(6);
    const { wavelength, focalLength } = this.geometry;
    const { x, orders } = this;
    const near = focalLength === undefined;
    const perFocal = near ? 0 : 1 / focalLength;
    const perWidth = Math.PI / wavelength;
    const perSpacing = (2 * Math.PI) / wavelength;
    const slopes = columns !== undefined;
    const [byWidth, byAmplitude, byBackground, byCentre, bySpacing, byVisibility] = columns ?? [];
    const [byBlur, byGround, byExponent, byFalloff] = columns?.slice(6) ?? [];
    const bent = exponent !== 1 || byExponent !== undefined;

    const { even, steep, fade, dim } = this.shares(visibility, falloff);
    const extent = width + orders * spacing;
    const places = this.places(blur, perSpacing * extent, byBlur !== undefined);
    const { offset, value, share, slope } = places;
    const count = offset.length;
    // Turning by a constant angle takes each point's sine and cosine from place to place.
    const turned = turns(offset, perWidth * width, perSpacing * spacing);
    const turn = new SineCosine();

    for (let i = 0; i < x.length; i++) {
      const from = x[i] - centre;
      const t = from * perFocal;
      const cosine = 1 / Math.sqrt(1 + t * t);
      const s = near ? from : t * cosine;

      turn.set(perWidth * width * s);
      const sinU = turn.sine;
      const cosU = turn.cosine;
      let sinP = 0;
      let cosP = 1;
      if (orders > 0) {
        turn.set(perSpacing * spacing * s);
        sinP = turn.sine;
        cosP = turn.cosine;
      }
      let pattern = 0;
      let wide = 0;
      let apart = 0;
      let along = 0;
      let fading = 0;
      let dimming = 0;
      let blurring = 0;
      for (let j = 0; j < count; j++) {
        const at = 4 * j;
        const sj = s + offset[j];
        const u = perWidth * width * sj;
        const small = u < 1e-3 && u > -1e-3;
        const sine = sinU * turned[at] + cosU * turned[at + 1];
        const perU = small ? 0 : 1 / u;
        const sinc = small ? 1 - (u * u) / 6 : sine * perU;
        const envelope = sinc * sinc;

        // Clenshaw's sums for Σ even cos kφ and Σ k even sin kφ.
        const c = cosP * turned[at + 2] - sinP * turned[at + 3];
        const twice = 2 * c;
        let b1 = 0;
        let b2 = 0;
        for (let k = orders; k > 0; k--) {
          const b = even[k] + twice * b1 - b2;
          b2 = b1;
          b1 = b;
        }
        const fringes = even[0] + c * b1 - b2;
        const here = envelope * fringes;
        pattern += value[j] * here;
        if (!slopes) continue;

        const turnedCosine = cosU * turned[at] - sinU * turned[at + 1];
        const bend = small ? (-2 * u) / 3 : 2 * sinc * (turnedCosine - sinc) * perU;
        let e1 = 0;
        let e2 = 0;
        for (let k = orders; k > 0; k--) {
          const e = steep[k] + twice * e1 - e2;
          e2 = e1;
          e1 = e;
        }
        const byPhase = -envelope * e1 * (sinP * turned[at + 2] + cosP * turned[at + 3]);
        const byU = bend * fringes;
        const byS = byU * perWidth * width + byPhase * perSpacing * spacing;
        wide += value[j] * byU * sj;
        apart += value[j] * byPhase * sj;
        along += value[j] * byS;
        blurring += share[j] * here + slope[j] * byS;
        if (byVisibility) fading += value[j] * envelope * cosineSum(fade, c);
        if (byFalloff) dimming += value[j] * envelope * cosineSum(dim, c);
      }
      let w = weights[i];
      const straight = background + ground * from + amplitude * pattern;
      out[i] = w * straight;
      if (bent) {
        const light = Math.max(straight, darkest);
        const shown = light ** exponent;
        out[i] = w * shown;
        if (byExponent) byExponent[i] = w * shown * Math.log(light);
        // What follows is the change of the light; this is how the signal changes with it.
        w *= (exponent * shown) / light;
      }
      if (!slopes) continue;
      const scale = w * amplitude;
      if (byWidth) byWidth[i] = scale * wide * perWidth;
      if (byAmplitude) byAmplitude[i] = w * pattern;
      if (byBackground) byBackground[i] = w;
      if (byCentre) {
        const perS = near ? 1 : cosine * cosine * cosine * perFocal;
        byCentre[i] = -scale * along * perS - w * ground;
      }
      if (bySpacing) bySpacing[i] = scale * apart * perSpacing;
      if (byVisibility) byVisibility[i] = scale * fading;
      if (byBlur) byBlur[i] = scale * blurring;
      if (byGround) byGround[i] = w * from;
      if (byFalloff) byFalloff[i] = scale * dimming;
    }
  }

  /** Places of the blur in s, and its change by b² on the screen. */
  private places(square: number, turn: number, slopes: boolean) {
    const { focalLength: f = 1 } = this.geometry;
    const places = blurPlaces(this.shape, square / (f * f), turn, slopes);
    if (!slopes) return places;
    return {
      ...places,
      share: places.share.map((one) => one / (f * f)),
      slope: places.slope.map((one) => one / (f * f)),
    };
  }

  /** Weights of the cosines, of their slopes, and of their change with V and with the falloff. */
  private shares(visibility: number, falloff: number) {
    const n = this.count;
    const squares = Float64Array.from({ length: n }, (_, j) => {
      const place = n > 1 ? (2 * j) / (n - 1) - 1 : 0;
      return place * place;
    });
    const field = squares.map((square) => Math.exp(-falloff * square));
    let all = 0;
    let lost = 0;
    for (let j = 0; j < n; j++) {
      all += field[j];
      lost += squares[j] * field[j];
    }
    const even = new Float64Array(n);
    const steep = new Float64Array(n);
    const fade = new Float64Array(n);
    const dim = new Float64Array(n);
    for (let k = 0; k < n; k++) {
      let share = 0;
      let less = 0;
      for (let j = 0; j < n - k; j++) {
        const both = field[j] * field[j + k];
        share += both;
        less += (squares[j] + squares[j + k]) * both;
      }
      const per = (k === 0 ? 1 : 2) / (all * all);
      const seen = visibility ** (k * k);
      even[k] = per * share * seen;
      steep[k] = k * even[k];
      fade[k] = k === 0 ? 0 : per * share * k * k * visibility ** (k * k - 1);
      dim[k] = per * seen * ((2 * share * lost) / all - less);
    }
    return { even, steep, fade, dim };
  }
}

/**
 * The curve that `fitSlits` found, as a function of position: what `fitPlot` draws through the points.
 *
 *   y(x) = B + G (x − x₀) + A ⟨sinc²(π a s/λ) F(2π d s/λ)⟩, averaged over the blur: see `SlitModel`
 *
 * @param fit what `fitSlits` returned
 * @param geometry wavelength and focalLength (m) as they were given to `fitSlits`
 * @returns signal at x (m, or direction sine without focalLength), in the unit of the profile
 * @throws RangeError when the wavelength or the focal length is not positive
 * @example
 * const geometry = { wavelength: nm(546.1), focalLength: 0.5 };
 * const profile = slitProfile(seeded(1), { count: 1, width: um(40), spacing: um(100), ...geometry });
 * const fit = fitSlits(profile, { ...geometry, count: 1, fixed: { blur: 0 } });
 * fittedCurve(fit, geometry)(fit.centre.value) / (fit.background.value + fit.amplitude.value) // 1.000
 */
export function fittedCurve(
  fit: Readonly<Record<SlitParameter, Fitted>> & {
    readonly count: number;
    readonly blurShape?: BlurShape;
  },
  geometry: SlitGeometry,
): (x: number) => number {
  const { wavelength, focalLength } = geometry;
  requirePositive('The wavelength', wavelength, 'give it in metres, such as nm(546.1)');
  if (focalLength !== undefined)
    requirePositive('The focal length', focalLength, 'give it in metres');
  const { count, blurShape, blur, slope } = fit;
  const { width, amplitude, background, centre, spacing } = fit;
  const parameters = [width, amplitude, background, centre].map(({ value }) => value);
  parameters.push(count === 1 ? 0 : spacing.value);
  // With a blur the contrast is what the blur leaves; without, it is a parameter.
  parameters.push(blurShape ? 1 : fit.visibility.value, blur.value * Math.abs(blur.value));
  parameters.push(slope.value, fit.exponent.value, fit.falloff.value);
  const place = new Float64Array(1);
  const signal = new Float64Array(1);
  const one = Float64Array.of(1);
  const model = new SlitModel(place, count, { wavelength, focalLength }, blurShape);
  return (x) => {
    place[0] = x;
    model.evaluate(parameters, one, signal);
    return signal[0];
  };
}

/** Cosine and sine of both angles for each place: cos, sin of the envelope's, cos, sin of the fringes'. */
function turns(offset: Float64Array, perEnvelope: number, perFringe: number): Float64Array {
  const turned = new Float64Array(4 * offset.length);
  offset.forEach((t, j) => {
    turned[4 * j] = Math.cos(perEnvelope * t);
    turned[4 * j + 1] = Math.sin(perEnvelope * t);
    turned[4 * j + 2] = Math.cos(perFringe * t);
    turned[4 * j + 3] = Math.sin(perFringe * t);
  });
  return turned;
}

/** Σ shares[k] cos kφ from cos φ. */
function cosineSum(shares: Float64Array, cosine: number): number {
  let b1 = 0;
  let b2 = 0;
  for (let k = shares.length - 1; k > 0; k--) {
    const b = shares[k] + 2 * cosine * b1 - b2;
    b2 = b1;
    b1 = b;
  }
  return shares[0] + cosine * b1 - b2;
}

const perQuarter = 2 / Math.PI;
// π/2 in two parts: the first has 33 bits, so that its multiples are exact up to 2²⁰ quarter turns.
const quarterHigh = 1.5707963267341256;
const quarterLow = 6.077100506506192e-11;

/**
 * Sine and cosine of one angle together, for about the price of one of them.
 *
 * Right to 2e-16 (absolute) up to a million radians; larger angles go to Math.sin and Math.cos.
 *
 * @see the polynomials of FreeBSD's msun k_sin.c and k_cos.c (Sun Microsystems, freely usable; coefficients from
 * memory, checked against Math.sin and Math.cos in the tests)
 */
class SineCosine {
  sine = 0;
  cosine = 1;

  set(angle: number): void {
    const quarters = Math.round(angle * perQuarter);
    const r = angle - quarters * quarterHigh - quarters * quarterLow;
    const z = r * r;
    const s =
      r +
      r *
        z *
        (-0.16666666666666632 +
          z *
            (0.00833333333332249 +
              z *
                (-0.00019841269829857949 +
                  z *
                    (2.7557313707070068e-6 +
                      z * (-2.5050760253406863e-8 + z * 1.58969099521155e-10)))));
    const c =
      1 -
      z * 0.5 +
      z *
        z *
        (0.0416666666666666 +
          z *
            (-0.001388888888887411 +
              z *
                (2.480158728947673e-5 +
                  z *
                    (-2.7557314351390663e-7 +
                      z * (2.087572321298175e-9 - z * 1.1359647557788195e-11)))));
    if (!(Math.abs(angle) < 1e6)) {
      this.sine = Math.sin(angle);
      this.cosine = Math.cos(angle);
      return;
    }
    const quadrant = quarters & 3;
    const swapped = (quadrant & 1) === 1;
    const first = swapped ? c : s;
    const second = swapped ? s : c;
    this.sine = quadrant >= 2 ? -first : first;
    this.cosine = quadrant === 1 || quadrant === 2 ? -second : second;
  }
}
