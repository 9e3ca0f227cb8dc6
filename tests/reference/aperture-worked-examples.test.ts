import { expect, test } from 'vitest';
import { slits } from '../../kernel-lib/aperture/aperture';
import { diffractionAngle } from '../../kernel-lib/aperture/direction';
import { minima, principalMaxima } from '../../kernel-lib/aperture/extrema';
import { intensity } from '../../kernel-lib/aperture/intensity';

// Numbers printed in OpenStax University Physics Volume 3 (UP3) and College Physics 2e (CP2).
const degrees = (radians: number) => (radians * 180) / Math.PI;
const rightOfCentre = { from: 1e-9, to: 1 };
const darkAngles = (width: number, wavelength: number) =>
  minima(slits(1, { width }), wavelength, rightOfCentre).map(({ s }) =>
    degrees(diffractionAngle(s)),
  );

test('UP3 example 3.1, CP2 example 27.1: order 3 of two slits 0.0100 mm apart is at 10.95° for 633 nm', () => {
  const pair = slits(2, { width: 1e-8, spacing: 0.01e-3 });
  const third = principalMaxima(pair, 633.17e-9).find(({ order }) => order === 3)!;
  expect(degrees(diffractionAngle(third.s))).toBeCloseTo(10.95, 3);
});

test('UP3 example 3.2, CP2 example 27.2: the highest order of that pair is 15', () => {
  const pair = slits(2, { width: 1e-8, spacing: 0.01e-3 });
  expect(Math.max(...principalMaxima(pair, 633e-9).map(({ order }) => order))).toBe(15);
  expect(0.01e-3 / 633e-9).toBeCloseTo(15.798, 3);
});

test('UP3 example 4.1, CP2 example 27.4: a slit of 1.56 µm has its minima at 20.7° and 45.0° for 550 nm', () => {
  const [first, second] = darkAngles((2 * 550e-9) / Math.sin(Math.PI / 4), 550e-9);
  expect(first).toBeCloseTo(20.705, 3);
  expect(second).toBeCloseTo(45, 9);
});

test('UP3 section 4.1, check: a slit of 1.8 µm has minima at 17.8°, 37.7°, 66.4° and no fourth', () => {
  const angles = darkAngles(1.8e-6, 550e-9);
  expect(angles).toHaveLength(3);
  expect(angles[0]).toBeCloseTo(17.79, 2);
  expect(angles[1]).toBeCloseTo(37.67, 2);
  expect(angles[2]).toBeCloseTo(66.44, 2);
});

test('UP3 example 4.2: a slit of 2.00 µm: minima at 16.0° and 33.4°, 0.044 midway', () => {
  const [first, second] = darkAngles(2e-6, 550e-9);
  expect(first).toBeCloseTo(15.96, 2);
  expect(second).toBeCloseTo(33.37, 2);
  const midway = Math.sin((first + second) / 2 / (180 / Math.PI));
  expect(intensity(slits(1, { width: 2e-6 }), 550e-9, midway)).toBeCloseTo(0.04387, 5);
});

test('UP3 example 4.5, CP2 example 27.3: 10 000 lines to the cm send 380 nm to 22.33°, 760 nm to 49.46°', () => {
  const grating = slits(500, { width: 1e-8, spacing: 1e-6 });
  const angle = (wavelength: number) => {
    const first = principalMaxima(grating, wavelength, { from: 0.3, to: 0.9 });
    return diffractionAngle(first.find(({ order }) => order === 1)!.s);
  };
  expect(degrees(angle(380e-9))).toBeCloseTo(22.33, 2);
  expect(degrees(angle(760e-9))).toBeCloseTo(49.46, 2);
  // The printed height on a screen 2.00 m away, 0.815 m, is a slip in print.
  expect(2 * Math.tan(angle(380e-9))).toBeCloseTo(0.8216, 4);
});
