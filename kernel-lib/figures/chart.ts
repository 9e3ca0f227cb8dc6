import type { Style } from './look';

/** One axis: what is drawn along it, in which unit. The numbers on it are in that unit. */
export interface Axis {
  readonly quantity: string;
  /** Such as `mm`; `ratio` for a quantity without a unit. */
  readonly unit: string;
  readonly range?: readonly [number, number];
  readonly log?: boolean;
  /** Ticks to use in place of round numbers. */
  readonly ticks?: readonly { readonly at: number; readonly label: string }[];
  /** Not drawn: the marks carry the scale themselves. */
  readonly hidden?: boolean;
}

type Numbers = readonly number[];

export interface LineMark {
  readonly type: 'line';
  readonly x: Numbers;
  readonly y: Numbers;
  readonly name?: string;
  readonly style: Style;
}

/** Points, with error bars of one standard uncertainty where `ux` or `uy` is given. */
export interface PointsMark {
  readonly type: 'points';
  /** Dots, for many points. */
  readonly small?: boolean;
  readonly x: Numbers;
  readonly y: Numbers;
  readonly ux?: Numbers;
  readonly uy?: Numbers;
  readonly name?: string;
  readonly style: Style;
}

/** Upright lines from zero: spectral lines, scale marks. One colour each, or one for all. */
export interface SticksMark {
  readonly type: 'sticks';
  readonly x: Numbers;
  readonly y: Numbers;
  readonly name?: string;
  readonly colours: readonly string[];
}

/** Straight strokes `[x0, y0, x1, y1]`, with an arrow head at the end where `arrows` is set. */
export interface StrokesMark {
  readonly type: 'strokes';
  readonly strokes: readonly (readonly [number, number, number, number])[];
  readonly arrows?: boolean;
  readonly name?: string;
  readonly style: Style;
}

/** The area under a curve, lightly coloured slice by slice. */
export interface AreaMark {
  readonly type: 'area';
  readonly x: Numbers;
  readonly y: Numbers;
  readonly colours: readonly string[];
}

/** A shaded stretch of the x axis over the panel's full height. */
export interface ShadeMark {
  readonly type: 'shade';
  readonly from: number;
  readonly to: number;
  readonly name?: string;
}

/** A picture stretched over a rectangle of the panel. */
export interface ImageMark {
  readonly type: 'image';
  /** A `data:` address. */
  readonly source: string;
  readonly x: readonly [number, number];
  readonly y: readonly [number, number];
}

export interface TextMark {
  readonly type: 'text';
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly colour?: string;
  readonly size?: number;
}

/** Nothing to see: what a live picture tells at the pointer. */
export interface HoverMark {
  readonly type: 'hover';
  readonly x: Numbers;
  readonly y: Numbers;
  readonly text: readonly string[];
}

export type Mark =
  | LineMark
  | PointsMark
  | SticksMark
  | StrokesMark
  | AreaMark
  | ShadeMark
  | ImageMark
  | TextMark
  | HoverMark;

export interface Panel {
  /** Height of the drawing area, in the units of the static picture, whose width is 520. */
  readonly height: number;
  readonly y: Axis;
  readonly marks: readonly Mark[];
  /** Black ground, as film is. */
  readonly film?: boolean;
}

/** What a figure shows: panels above each other on one x axis. The static and the live picture are both made from it. */
export interface Chart {
  readonly kind: string;
  /** One sentence with the figure's numbers. */
  readonly alt: string;
  readonly title?: string;
  readonly x: Axis;
  readonly panels: readonly Panel[];
  /** One unit is as long along x as along y: for polygons and colour diagrams. */
  readonly equalScales?: boolean;
}

/** The text along an axis: quantity and unit. */
export function axisTitle(axis: Axis): string {
  return `${axis.quantity} (${axis.unit})`;
}
