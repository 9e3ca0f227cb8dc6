import type { PicturePoint } from '../../fitting/picture/picture-scale';

/** Which part of a picture is seen, and how large. */
export interface Viewport {
  /** Screen pixels for each of the picture's. */
  readonly zoom: number;
  /** The place of the picture that stands at the upper left corner. */
  readonly x: number;
  readonly y: number;
}

/** A width and a height, pixels. */
export interface Size {
  readonly width: number;
  readonly height: number;
}

const largest = 24;

/** The whole picture in the frame, in its middle. */
export function wholeIn(frame: Size, picture: Size): Viewport {
  const zoom = Math.min(frame.width / picture.width, frame.height / picture.height);
  return {
    zoom,
    x: -(frame.width / zoom - picture.width) / 2 - 0.5,
    y: -(frame.height / zoom - picture.height) / 2 - 0.5,
  };
}

/** Where a place of the picture is seen; a pixel's own place is its middle. */
export const onScreen = ({ zoom, x, y }: Viewport, at: PicturePoint): PicturePoint => ({
  x: (at.x - x) * zoom,
  y: (at.y - y) * zoom,
});

/** The place of the picture that is seen there. */
export const onPicture = ({ zoom, x, y }: Viewport, at: PicturePoint): PicturePoint => ({
  x: at.x / zoom + x,
  y: at.y / zoom + y,
});

/** Zoom by a factor about a place of the screen, which stays where it is. */
export function zoomedAt(
  port: Viewport,
  factor: number,
  at: PicturePoint,
  frame: Size,
  picture: Size,
): Viewport {
  const least = wholeIn(frame, picture).zoom;
  const zoom = Math.min(Math.max(port.zoom * factor, least), Math.max(largest, least));
  if (zoom === least) return wholeIn(frame, picture);
  const fixed = onPicture(port, at);
  return kept({ zoom, x: fixed.x - at.x / zoom, y: fixed.y - at.y / zoom }, frame, picture);
}

/** Move what is seen by so many screen pixels. */
export const movedBy = (port: Viewport, by: PicturePoint, frame: Size, picture: Size): Viewport =>
  kept({ ...port, x: port.x - by.x / port.zoom, y: port.y - by.y / port.zoom }, frame, picture);

/** Moved so far that a place of the picture is seen. */
export function showing(port: Viewport, at: PicturePoint, frame: Size, picture: Size): Viewport {
  const { x, y } = onScreen(port, at);
  const margin = 24;
  const over = (value: number, size: number) =>
    value < margin ? margin - value : value > size - margin ? size - margin - value : 0;
  const by = { x: over(x, frame.width), y: over(y, frame.height) };
  return by.x === 0 && by.y === 0 ? port : movedBy(port, by, frame, picture);
}

/** The picture never leaves the frame; where it is smaller it stands in the middle. */
function kept(port: Viewport, frame: Size, picture: Size): Viewport {
  const along = (from: number, seen: number, size: number) =>
    seen >= size ? (size - seen) / 2 - 0.5 : Math.min(Math.max(from, -0.5), size - seen - 0.5);
  return {
    zoom: port.zoom,
    x: along(port.x, frame.width / port.zoom, picture.width),
    y: along(port.y, frame.height / port.zoom, picture.height),
  };
}

/** Round numbers for an axis, about so many. */
export function ticksOf(from: number, to: number, about: number): number[] {
  const raw = (to - from) / Math.max(1, about);
  if (!(raw > 0)) return [];
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map((one) => one * power).find((one) => one >= raw) ?? 10 * power;
  const firstTick = Math.ceil(from / step);
  const count = Math.floor(to / step) - firstTick + 1;
  return Array.from({ length: Math.max(0, count) }, (_, k) =>
    Number(((firstTick + k) * step).toPrecision(12)),
  );
}

const steps: Record<string, PicturePoint> = {
  ArrowLeft: { x: -1, y: 0 },
  ArrowRight: { x: 1, y: 0 },
  ArrowUp: { x: 0, y: -1 },
  ArrowDown: { x: 0, y: 1 },
};

/** By how much an arrow key moves, pixels: 1, with Shift 10. */
export function stepOf(event: KeyboardEvent): PicturePoint | undefined {
  if (event.ctrlKey || event.metaKey || event.altKey) return undefined;
  const step = steps[event.key];
  const size = event.shiftKey ? 10 : 1;
  return step && { x: size * step.x, y: size * step.y };
}
