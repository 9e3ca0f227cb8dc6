import { expect, test } from 'vitest';
import {
  movedBy,
  onPicture,
  onScreen,
  showing,
  ticksOf,
  wholeIn,
  zoomedAt,
} from '../../../kernel-lib/page/picture/viewport';

const frame = { width: 600, height: 400 };
const picture = { width: 1200, height: 400 };

test('the whole picture stands in the middle of its frame', () => {
  const port = wholeIn(frame, picture);
  expect(port.zoom).toBe(0.5);
  // Its corners are half a pixel outside the middles of its first and last pixels.
  expect(onScreen(port, { x: -0.5, y: -0.5 })).toEqual({ x: 0, y: 100 });
  expect(onScreen(port, { x: 1199.5, y: 399.5 })).toEqual({ x: 600, y: 300 });
});

test('what is under the pointer stays there when it is zoomed', () => {
  let port = wholeIn(frame, picture);
  port = zoomedAt(port, 4, { x: 300, y: 200 }, frame, picture);
  const at = { x: 410, y: 120 };
  const before = onPicture(port, at);
  const after = onPicture(zoomedAt(port, 1.7, at, frame, picture), at);
  expect(after.x).toBeCloseTo(before.x, 9);
  expect(after.y).toBeCloseTo(before.y, 9);
});

test('zooming ends at the whole picture and at pixels that are seen one by one', () => {
  const whole = wholeIn(frame, picture);
  expect(zoomedAt(whole, 0.1, { x: 3, y: 3 }, frame, picture)).toEqual(whole);
  const large = zoomedAt(whole, 1e6, { x: 300, y: 200 }, frame, picture);
  expect(large.zoom).toBeLessThanOrEqual(32);
  expect(large.zoom).toBeGreaterThan(8);
});

test('the picture does not leave its frame, and a place can be brought into view', () => {
  const port = zoomedAt(wholeIn(frame, picture), 4, { x: 300, y: 200 }, frame, picture);
  const far = movedBy(port, { x: 1e6, y: 1e6 }, frame, picture);
  expect(onScreen(far, { x: -0.5, y: -0.5 })).toEqual({ x: 0, y: 0 });
  const seen = onScreen(showing(far, { x: 1100, y: 390 }, frame, picture), { x: 1100, y: 390 });
  expect(seen.x).toBeGreaterThan(0);
  expect(seen.x).toBeLessThan(600);
  expect(seen.y).toBeGreaterThan(0);
  expect(seen.y).toBeLessThan(400);
});

test('an axis has round numbers', () => {
  expect(ticksOf(-0.5, 1199.5, 6)).toEqual([0, 200, 400, 600, 800, 1000]);
  expect(ticksOf(0.13, 0.47, 4)).toEqual([0.2, 0.3, 0.4]);
  expect(ticksOf(1, 1, 4)).toEqual([]);
});
