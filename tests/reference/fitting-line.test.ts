import { effectiveFreedom, fitLine, measuredParameters } from 'multislit';
import { expect, test } from 'vitest';

test('calibration of a thermometer: intercept, slope and correlation of JCGM 100:2008, H.3', () => {
  // Readings and results of the guide's table H.6, both from memory; numpy.polyfit of these readings gives
  // −0.17120379 (0.0028776), 0.0021827 (0.00066794), r −0.93043.
  const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
  const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
  const line = fitLine({ x: t.map((value) => value - 20), y: b });
  expect(line.intercept.value).toBeCloseTo(-0.1712, 4);
  expect(line.intercept.u).toBeCloseTo(0.0029, 4);
  expect(line.slope.value).toBeCloseTo(0.00218, 5);
  expect(line.slope.u).toBeCloseTo(0.00067, 5);
  expect(line.correlation).toBeCloseTo(-0.93, 3);
  expect(Math.sqrt(line.reducedChiSquare)).toBeCloseTo(0.0035, 5);
  expect(line.at(30 - 20).value).toBeCloseTo(-0.1494, 4);
  expect(line.at(30 - 20).u).toBeCloseTo(0.0041, 4);
  // Eleven readings less two parameters; at 30 °C as everywhere on the line (the guide's H.3.4, from memory).
  const [intercept, slope] = measuredParameters(line);
  const at30 = intercept.plus(slope.times(10));
  expect(at30.u).toBeCloseTo(0.0041, 4);
  for (const result of [intercept, slope, at30]) expect(effectiveFreedom(result)).toBeCloseTo(9, 9);
});

test('weighted points as scipy.optimize.curve_fit (1.17.1, absolute_sigma=True) fits them', () => {
  // curve_fit(lambda x, a, b: a + b*x, x, y, [0, 1], sigma=u, absolute_sigma=True, xtol=1e-15, ftol=1e-15, gtol=1e-15)
  const line = fitLine({
    x: [0.5, 1.5, 2.5, 4, 6, 9],
    y: [1.1, 2.3, 2.9, 4.8, 6.7, 10.2],
    u: [0.1, 0.1, 0.2, 0.15, 0.3, 0.25],
  });
  expect(line.intercept.value).toBeCloseTo(0.6054186659, 8);
  expect(line.slope.value).toBeCloseTo(1.0506849163, 8);
  expect(line.intercept.u).toBeCloseTo(0.0827768673, 8);
  expect(line.slope.u).toBeCloseTo(0.0268750498, 8);
  expect(line.covariance[0][1]).toBeCloseTo(-0.0015853911, 9);
  expect(line.chiSquare).toBeCloseTo(5.0552104812, 8);
});
