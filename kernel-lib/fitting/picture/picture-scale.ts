import { requireFinite, requireNotNegative, requirePositive } from '../../numerics/require';
import { backSubstitute, triangulate } from '../householder';

/** A place in the upright picture, pixels from its upper left corner; (0, 0) is the middle of the first pixel. */
export interface PicturePoint {
  readonly x: number;
  readonly y: number;
}

/** How pixels become metres on the plane where the pattern was. */
export interface PictureScale {
  /** Takes a pixel (x, y, 1) to (X w, Y w, w), X and Y in m: nine numbers, row after row. */
  readonly matrix: readonly number[];
  /** Relative standard uncertainty of every length measured with it. */
  readonly u: number;
}

/** A mark whose place on the plane is known, m, and where it is seen. */
export interface SeenMark {
  readonly pixel: PicturePoint;
  readonly place: PicturePoint;
}

/** How well marks are met. */
export interface ScaleOptions {
  /** Standard uncertainty of each click in each direction, pixels, default 1. */
  readonly click?: number;
  /** Relative standard uncertainty of the ruler or paper itself, default 0. */
  readonly ruler?: number;
  /**
   * Relative standard uncertainty from what is not undone: the lens's distortion and, beside a ruler, a camera that did not
   * look straight at it. Default 0.008 with a ruler, 0.003 on squared paper, as for a phone held by hand; on a stand,
   * squared up with the wall, a ruler has 0.003.
   *
   * The estimate: a wide lens, 0.72 of the picture's width from it, 4° off the perpendicular, sees a ruler that lies a
   * tenth of the width beside the pattern sin 4°/7.2 = 1 % nearer or farther, which is anything up to that (/√3); a lens
   * that draws the edge 1 % out of place, up to that, changes lengths between marks at two thirds of the way to the edge
   * by 1 %/√3 · (2/3)² = 0.3 %; and half a per cent for where along the ruler it was seen (common practice, no source).
   */
  readonly lens?: number;
}

/**
 * The scale of a picture from two marks of a ruler that lies beside the pattern and along it.
 *
 *   metres per pixel = L / |b − a|,  u/value = √(2 (click / |b − a|)² + ruler² + lens²)
 *
 * It holds along the ruler, for a camera that looked straight at the wall. Where it looked from aside use
 * `planeScale`, which undoes the perspective.
 *
 * @param a where the first mark is seen, pixels
 * @param b where the second is seen
 * @param length what the ruler says lies between them, m
 * @returns the scale, for `pictureProfile`
 * @throws RangeError when both marks are one place, or a length is not positive
 * @see JCGM 100:2008, 5.1 (cited from memory)
 * @example rulerScale({ x: 100, y: 700 }, { x: 900, y: 700 }, mm(80), { lens: 0 }).u // 0.001768
 */
export function rulerScale(
  a: PicturePoint,
  b: PicturePoint,
  length: number,
  options: ScaleOptions = {},
): PictureScale {
  const [from, to] = [checkPoint('The first mark', a), checkPoint('The second mark', b)];
  requirePositive('The length between the marks', length, 'give it in metres, such as mm(80)');
  const { click, others } = checkOptions(options, 0.008);
  const apart = Math.hypot(to.x - from.x, to.y - from.y);
  if (!(apart > 2)) {
    throw new RangeError(
      `The two marks of the ruler are ${apart.toFixed(1)} pixels apart: choose two that are as far from each other as the picture allows.`,
    );
  }
  const scale = length / apart;
  return {
    matrix: [scale, 0, 0, 0, scale, 0, 0, 0, 1],
    u: Math.hypot((Math.SQRT2 * click) / apart, others),
  };
}

/**
 * The scale of a picture from four marks or more on the plane of the pattern, such as crossings of squared paper, the
 * perspective undone: the projective map that takes the marks to their places, by least squares in the plane.
 *
 * Its u is what clicks that miss change of lengths across the middle of the marks, along the longer direction.
 *
 * @param marks where each is seen (pixels) and where it lies (m, in axes of your own on the plane)
 * @returns the scale, for `pictureProfile`
 * @throws RangeError with fewer than four marks, or when three of four lie on one line
 * @see Hartley and Zisserman, Multiple View Geometry, chapter 4 (from memory), for the map
 * @example
 * const place = [{ x: 0, y: 0 }, { x: mm(50), y: 0 }, { x: mm(50), y: mm(20) }, { x: 0, y: mm(20) }];
 * const seen = [{ x: 0, y: 0 }, { x: 500, y: 0 }, { x: 500, y: 200 }, { x: 0, y: 200 }];
 * planeScale(seen.map((pixel, k) => ({ pixel, place: place[k] }))).matrix[0] // 0.0001
 */
export function planeScale(marks: readonly SeenMark[], options: ScaleOptions = {}): PictureScale {
  if (!Array.isArray(marks) || marks.length < 4) {
    throw new RangeError(
      `${marks?.length ?? 0} marks do not fix the perspective: four are needed, no three of them on one line. With two marks of a ruler use rulerScale.`,
    );
  }
  const checked = marks.map(({ pixel, place }, k) => ({
    pixel: checkPoint(`Mark ${k + 1} in the picture`, pixel),
    place: checkPoint(`The place of mark ${k + 1}`, place),
  }));
  const { click, others } = checkOptions(options, 0.003);
  const matrix = projection(checked);
  const ends = acrossTheMarks(checked);
  const span = (by: readonly number[]) => {
    const [p, q] = ends.map((end) => onPlane(by, end));
    return Math.hypot(q.x - p.x, q.y - p.y);
  };
  const length = span(matrix);
  let variance = 0;
  const step = Math.max(click, 0.1);
  for (const k of checked.keys()) {
    for (const axis of ['x', 'y'] as const) {
      const missed = checked.map(({ pixel, place }, j) => ({
        place,
        pixel: j === k ? { ...pixel, [axis]: pixel[axis] + step } : pixel,
      }));
      variance += ((span(projection(missed)) / length - 1) * (click / step)) ** 2;
    }
  }
  return { matrix, u: Math.hypot(Math.sqrt(variance), others) };
}

/** Where a pixel lies on the plane, m. */
export function onPlane(matrix: readonly number[], { x, y }: PicturePoint): PicturePoint {
  const [a, b, c, d, e, f, g, h, i] = matrix;
  const w = g * x + h * y + i;
  return { x: (a * x + b * y + c) / w, y: (d * x + e * y + f) / w };
}

/** Metres along one row of the picture (along y: column), from the picture's edge. */
export function placesAlong(
  { matrix }: PictureScale,
  axis: 'x' | 'y',
  middle: number,
): (at: number) => number {
  const flat = matrix[6] === 0 && matrix[7] === 0;
  const rate = axis === 'x' ? Math.hypot(matrix[0], matrix[3]) : Math.hypot(matrix[1], matrix[4]);
  if (flat) return (at: number) => at * rate;
  const point = (at: number) =>
    onPlane(matrix, axis === 'x' ? { x: at, y: middle } : { x: middle, y: at });
  const start = point(0);
  return (at: number) => {
    const { x, y } = point(at);
    return Math.sign(at) * Math.hypot(x - start.x, y - start.y);
  };
}

/** X (g x + h y + 1) = a x + b y + c and the same for Y, two equations a mark, in pixels and metres of about size 1. */
function projection(marks: readonly SeenMark[]): number[] {
  const pixels = frameOf(marks.map(({ pixel }) => pixel));
  const places = frameOf(marks.map(({ place }) => place));
  const columns = Array.from({ length: 8 }, () => new Float64Array(2 * marks.length));
  const right = new Float64Array(2 * marks.length);
  for (const [k, mark] of marks.entries()) {
    const { x, y } = pixels.into(mark.pixel);
    const at = places.into(mark.place);
    const row = [
      [x, y, 1, 0, 0, 0, -at.x * x, -at.x * y],
      [0, 0, 0, x, y, 1, -at.y * x, -at.y * y],
    ];
    for (const [r, numbers] of row.entries()) {
      for (const [j, number] of numbers.entries()) columns[j][2 * k + r] = number;
    }
    right[2 * k] = at.x;
    right[2 * k + 1] = at.y;
  }
  const triangle = triangulate(columns, right);
  const found = backSubstitute(triangle);
  // Marks on a line leave an equation that says nothing.
  if (triangle.rows.some((row, k) => Math.abs(row[k]) < 1e-9)) {
    throw new RangeError(
      'These marks do not fix the perspective: no three of the four may lie on one line. Take the corners of a large rectangle of the squared paper.',
    );
  }
  const [a, b, c, d, e, f, g, h] = found;
  const { size: s, x: px, y: py } = pixels;
  const { size: t, x: X, y: Y } = places;
  // Out of the two frames again: places = t·(…) + (X, Y), pixels = (p − (px, py))/s.
  const w = [g / s, h / s, 1 - (g * px + h * py) / s];
  const rows = [
    [a / s, b / s, c - (a * px + b * py) / s].map((value, k) => t * value + X * w[k]),
    [d / s, e / s, f - (d * px + e * py) / s].map((value, k) => t * value + Y * w[k]),
    w,
  ].flat();
  return rows.map((value) => value / rows[8]);
}

function frameOf(points: readonly PicturePoint[]) {
  const mean = (of: (p: PicturePoint) => number) =>
    points.reduce((sum, p) => sum + of(p), 0) / points.length;
  const [x, y] = [mean((p) => p.x), mean((p) => p.y)];
  const size = mean((p) => Math.hypot(p.x - x, p.y - y)) || 1;
  return { x, y, size, into: (p: PicturePoint) => ({ x: (p.x - x) / size, y: (p.y - y) / size }) };
}

/** Both ends of the line through the middle of the marks in the direction in which they lie farthest apart. */
function acrossTheMarks(marks: readonly SeenMark[]): [PicturePoint, PicturePoint] {
  let longest: [PicturePoint, PicturePoint] = [marks[0].pixel, marks[1].pixel];
  const far = ([a, b]: readonly PicturePoint[]) => Math.hypot(b.x - a.x, b.y - a.y);
  for (const [j, { pixel: a }] of marks.entries()) {
    const { pixel: b } = marks[(j + 1) % marks.length];
    if (far([a, b]) > far(longest)) longest = [a, b];
  }
  const { x, y } = frameOf(marks.map(({ pixel }) => pixel));
  const [dx, dy] = [(longest[1].x - longest[0].x) / 2, (longest[1].y - longest[0].y) / 2];
  return [
    { x: x - dx, y: y - dy },
    { x: x + dx, y: y + dy },
  ];
}

function checkOptions({ click = 1, ruler = 0, lens }: ScaleOptions, usualLens: number) {
  requireNotNegative('click', click, 'give the standard uncertainty of a click in pixels');
  requireNotNegative('ruler', ruler, 'give a relative standard uncertainty, such as 0.001');
  requireNotNegative('lens', lens ?? 0, 'give a relative standard uncertainty, such as 0.005');
  return { click, others: Math.hypot(ruler, lens ?? usualLens) };
}

function checkPoint(name: string, point: PicturePoint): PicturePoint {
  requireFinite(`${name}: x`, point?.x, 'give a place as { x, y }');
  requireFinite(`${name}: y`, point?.y, 'give a place as { x, y }');
  return point;
}
