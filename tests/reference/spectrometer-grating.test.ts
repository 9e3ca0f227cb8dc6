// OpenStax University Physics Volume 3 (CC BY-NC-SA 4.0) and College Physics 2e: numbers of worked examples only.
import { expect, test } from 'vitest';
import {
  gratingAngle,
  gratingOrders,
  gratingSpacing,
  gratingWavelength,
} from '../../kernel-lib/spectrometer/grating';

const degree = Math.PI / 180;

test('UP3 example 3.1: 0.0100 mm apart, third order at 10.95° → 633 nm (633.17 nm)', () => {
  expect(gratingWavelength(3, 10e-6, 10.95 * degree) * 1e9).toBeCloseTo(633.2, 1);
});

test('UP3 example 3.2: the highest order of that pair is 15', () => {
  expect(gratingOrders(633e-9, 10e-6).highest).toBe(15);
});

test('UP3 example 4.5: 10 000 lines per centimetre, 380 nm at 22.33°, 760 nm at 49.46°', () => {
  expect(gratingAngle(1, 380e-9, 1e-6) / degree).toBeCloseTo(22.33, 2);
  expect(gratingAngle(1, 760e-9, 1e-6) / degree).toBeCloseTo(49.46, 2);
  expect(gratingSpacing(1, 380e-9, 22.33 * degree)).toBeCloseTo(1e-6, 8);
});

// The printed height of the violet on a screen 2.00 m away (0.815 m) does not follow from the printed angle.
test('same example: violet stands 0.8216 m high on the screen', () => {
  expect(2 * Math.tan(gratingAngle(1, 380e-9, 1e-6))).toBeCloseTo(0.8216, 3);
});
