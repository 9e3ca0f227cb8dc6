import { expect, test } from 'vitest';
import * as multislit from '../kernel-lib/index';

/** Every value a cell can import, one group a block. A name added or taken away is a decision, so it is written here too. */
const names = [
  // display
  'asBundle',
  // quantity
  'Measured',
  'arcminutes',
  'arcseconds',
  'cm',
  'degrees',
  'formatNumber',
  'formatQuantity',
  'fromUnit',
  'isMeasured',
  'm',
  'measured',
  'mm',
  'mrad',
  'nm',
  'perMillimetre',
  'printMeasured',
  'toUnit',
  'um',
  'unit',
  'wrapAngle',
  'wrapAngleSigned',
  'writeAngle',
  // numerics
  'findRoot',
  'fresnelIntegrals',
  'integrate',
  'linearInterpolant',
  'seeded',
  'sinc',
  'sincPi',
  'splineInterpolant',
  'trapezoid',
  // aperture
  'amplitude',
  'autocorrelation',
  'intensity',
  'intensityProfile',
  'minima',
  'missingOrders',
  'principalMaxima',
  'slits',
  'slitsAt',
  'subsidiaryMaxima',
  // light
  'blackbody',
  'chromaticity',
  'filtered',
  'illuminant',
  'lamp',
  'laser',
  'passband',
  'srgb',
  'sunlight',
  'xyz',
  // camera
  'filmStrip',
  'prepare',
  // spectrometer
  // fitting
  // figures
  'filmStripPicture',
  'patternPlot',
  'show',
  'stackedStrips',
  'stripFigure',
  // questions
  'begin',
  'blank',
  'check',
  'defineKey',
  'defineSheet',
  'judge',
  'progress',
  'setSheetSource',
];

test('index.ts exports exactly the pinned names', () => {
  expect(Object.keys(multislit).sort()).toEqual([...names].sort());
});
