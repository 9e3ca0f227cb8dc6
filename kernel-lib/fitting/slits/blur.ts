import { type GaussRule, gaussLegendre } from '../../numerics/quadrature';
import { findRoot } from '../../numerics/roots';
import { sincPi, sincSlope } from '../../numerics/sinc';

/** How a record is smeared: evenly over a width, as by a source slit, or as by many small causes together. */
export type BlurShape = 'box' | 'gaussian';

/** Width at half height of a normal distribution over its standard deviation: √(8 ln 2). */
const widthOverSigma = Math.sqrt(8 * Math.LN2);

/** What the sum over places leaves of one cosine is right to this share. */
const precision = 1e-11;

/** Half a turn of phase across the blur, below which its effect is drawn as a straight line against its square. */
const straight = 1e-2;

/** A blurred pattern is Σ value I(s + offset); by the square of the width it changes as Σ (share I + slope dI/ds). */
export interface BlurPlaces {
  /** In the unit of the width. */
  readonly offset: Float64Array;
  readonly value: Float64Array;
  readonly share: Float64Array;
  readonly slope: Float64Array;
}

/**
 * Places over which a pattern is averaged, so that it becomes what a blur makes of it.
 *
 *   box: I(s) → (1/b) ∫ I(s + t) dt, |t| < b/2, by Gauss–Legendre points
 *   normal: I(s) → ∫ I(s + t) g(t) dt, by equal steps, which for a normal distribution are as quick
 *
 * The number of places follows from the finest fringe: an aperture of extent L has no cosine faster than 2πL/λ, and
 * what is left of each is right to 1e-11.
 *
 * The blur enters by its square, since that is what the pattern is smooth in. Noise may carry it below 0: the pattern is
 * then sharpened by as much as it would be blurred, I(−q) = 2 I(0) − I(q).
 *
 * @param shape box, or normal distribution
 * @param square full width at half height, squared; negative sharpens
 * @param turn phase of the finest fringe for each unit of width, 2πL/λ
 * @param slopes whether the change with the square is wanted at 0 too
 * @see error of the Gauss–Legendre sum, 2^(2n+1) (n!)⁴ / ((2n+1) (2n)!³) f^(2n): NIST Digital Library of Mathematical
 * Functions, 3.5(v) (from memory; the tests compare with sin κ/κ and exp(−κ²/2))
 */
export function blurPlaces(
  shape: BlurShape,
  square: number,
  turn: number,
  slopes: boolean,
): BlurPlaces {
  if (square === 0 && !slopes) return single;
  const least = ((2 * straight) / turn) ** 2;
  const width = Math.sqrt(Math.max(Math.abs(square), least));
  const { offset, weight } = shape === 'box' ? boxPlaces(width, turn) : normalPlaces(width, turn);
  if (Math.abs(square) < least) {
    const part = square / least;
    return withMiddle(
      offset,
      { value: weight.map((w) => part * w), middle: 1 - part },
      { share: weight.map((w) => w / least), middle: -1 / least },
    );
  }
  const slope = offset.map((t, j) => (weight[j] * t) / (2 * width * width));
  if (square > 0) return { offset, value: weight, share: new Float64Array(slope.length), slope };
  const sharper = { value: weight.map((w) => -w), middle: 2 };
  const none = { share: new Float64Array(slope.length), middle: 0 };
  return { ...withMiddle(offset, sharper, none), slope: Float64Array.of(...slope, 0) };
}

/** One place, the middle: no blur. */
const single: BlurPlaces = {
  offset: Float64Array.of(0),
  value: Float64Array.of(1),
  share: Float64Array.of(0),
  slope: Float64Array.of(0),
};

function withMiddle(
  offset: Float64Array,
  { value, middle }: { value: Float64Array; middle: number },
  { share, middle: own }: { share: Float64Array; middle: number },
): BlurPlaces {
  return {
    offset: Float64Array.of(...offset, 0),
    value: Float64Array.of(...value, middle),
    share: Float64Array.of(...share, own),
    slope: new Float64Array(offset.length + 1),
  };
}

const rules: GaussRule[] = [];

function boxPlaces(width: number, turn: number) {
  const half = (turn * width) / 2;
  let count = 1;
  for (let error = half * half * (1 / 6); error > precision && count < 100; count++) {
    const n = count + 1;
    error *= (half * half * n) / (2 * (2 * n + 1) * (2 * n - 1) ** 2);
  }
  rules[count] ??= gaussLegendre(count);
  const { nodes, weights } = rules[count];
  return {
    offset: nodes.map((node) => (node * width) / 2),
    weight: weights.map((weight) => weight / 2),
  };
}

function normalPlaces(width: number, turn: number) {
  const sigma = width / widthOverSigma;
  // Equal steps h take cosines of 2π/h − turn for slower ones: those must be gone, and so must the tail.
  const reach = Math.sqrt(-2 * Math.log(precision / 2));
  const step = (2 * Math.PI) / (turn * sigma + reach);
  const last = Math.min(Math.ceil(reach / step), 100);
  const t = Float64Array.from({ length: 2 * last + 1 }, (_, j) => (j - last) * step);
  const raw = t.map((value) => Math.exp((-value * value) / 2));
  const total = raw.reduce((a, b) => a + b, 0);
  return { offset: t.map((v) => v * sigma), weight: raw.map((w) => w / total) };
}

/**
 * What a blur leaves of fringes, and how that changes: a cosine of period p keeps the factor B(b/p).
 *
 *   box: B = sinc(π b/p);  normal: B = exp(−(π b/p)²/(4 ln 2));  B(−q) = 2 − B(q) for q = (b/p)² below 0
 *
 * For slits a distance d apart b/p = b d/(λ f): the visibility of their fringes.
 *
 * @param square (b/p)², b the full width at half height
 * @returns B, and dB by the square
 */
export function fringesLeft(shape: BlurShape, square: number): { value: number; slope: number } {
  const x = Math.PI * Math.sqrt(Math.abs(square));
  let left: number;
  let slope: number;
  if (shape === 'gaussian') {
    left = Math.exp((-x * x) / (4 * Math.LN2));
    slope = (-Math.PI * Math.PI * left) / (4 * Math.LN2);
  } else {
    left = sincPi(x / Math.PI);
    slope = x < 1e-6 ? (-Math.PI * Math.PI) / 6 : (sincSlope(x) * Math.PI * Math.PI) / (2 * x);
  }
  return { value: square < 0 ? 2 - left : left, slope };
}

/**
 * The other way round: the (b/p)² of a blur that leaves the share `left` of fringes of period p.
 *
 * @param left from 0 (box) or above 0 (normal) to 1; above 1 as in `fringesLeft`
 * @example Math.sqrt(squareFor('box', 2 / Math.PI)) // 0.5
 */
export function squareFor(shape: BlurShape, left: number): number {
  if (left > 1) return -squareFor(shape, 2 - left);
  if (shape === 'gaussian') return (-4 * Math.LN2 * Math.log(left)) / Math.PI ** 2;
  if (left === 1) return 0;
  // 1 − left is straight in the square to begin with, so that the root is found to full precision there too.
  return findRoot((square) => fringesLeft('box', square).value - left, 0, 1);
}
