import { slits } from '../../kernel-lib/aperture/aperture';
import { intensity } from '../../kernel-lib/aperture/intensity';
import { phasors } from '../../kernel-lib/aperture/phasors';
import { filmStrip } from '../../kernel-lib/camera/film-strip';
import { chromaticityPath } from '../../kernel-lib/figures/chromaticity-path';
import type { Figure } from '../../kernel-lib/figures/figure';
import { filmStripPicture, stripFigure } from '../../kernel-lib/figures/film-strip-picture';
import { fitPlot } from '../../kernel-lib/figures/fit-plot';
import { linePlot } from '../../kernel-lib/figures/line-plot';
import { nearToFar } from '../../kernel-lib/figures/near-to-far';
import { patternPlot } from '../../kernel-lib/figures/pattern-plot';
import { phasorPolygon } from '../../kernel-lib/figures/phasor-polygon';
import { spectrumPlot } from '../../kernel-lib/figures/spectrum-plot';
import { stackedStrips } from '../../kernel-lib/figures/stacked-strips';
import { vernierFigure } from '../../kernel-lib/figures/vernier-figure';
import { passband } from '../../kernel-lib/light/filtered';
import { lamp, laser } from '../../kernel-lib/light/lamp';
import { sunlight } from '../../kernel-lib/light/sunlight';
import { seeded } from '../../kernel-lib/numerics/random';

const two = slits(2, { width: 40e-6, spacing: 100e-6 });
const three = slits(3, { width: 40e-6, spacing: 100e-6 });
const four = slits(4, { width: 40e-6, spacing: 100e-6 });

/** Direction sines from −0.026 to 0.026. */
export const sines = Array.from({ length: 3001 }, (_, i) => (i - 1500) * (0.026 / 1500));

export const strip = filmStrip(two, sunlight(), { focalLength: 0.3 });
export const strip4 = filmStrip(four, sunlight(), { focalLength: 0.3 });

/** Fewer of them: kept pictures stay small. */
const few = sines.filter((_, i) => i % 6 === 0);

const curve = (count: number) => {
  const aperture = slits(count, { width: 40e-6, spacing: 100e-6 });
  return {
    s: few,
    intensity: few.map((s) => intensity(aperture, 550e-9, s)),
    name: count === 1 ? '1 slit' : `${count} slits`,
  };
};

const readings = {
  x: [1, 2, 3, 4, 5, 6, 7, 8].map((k) => k * 0.01),
  y: [2.1, 3.9, 6.2, 7.8, 10.1, 12.2, 13.9, 16.1].map((k) => k * 1e-4),
};
const axes = {
  x: { quantity: 'distance L', unit: 'mm' },
  y: { quantity: 'fringe spacing Δx', unit: 'um' },
};

/** One of each figure, as the sheets use them. */
export const samples: Record<string, () => Figure> = {
  pattern: () => patternPlot([curve(1), curve(2), curve(3)], { title: 'One, two and three slits' }),
  'pattern, logarithmic': () =>
    patternPlot(curve(4), { log: true, along: 'film', focalLength: 0.3 }),
  strip: () => filmStripPicture(strip),
  'strip, burnt out': () =>
    filmStripPicture(filmStrip(three, laser(632.8e-9), { focalLength: 0.3, exposure: 4 })),
  'strip under its curve': () => stripFigure(strip, { along: 'degrees' }),
  'stacked strips': () =>
    stackedStrips([
      { label: '2 slits', strip },
      { label: '4 slits', strip: strip4 },
    ]),
  phasors: () => phasorPolygon(phasors(four, 550e-9, 0.0009)),
  'spectrum of sunlight': () => spectrumPlot(sunlight(), { through: passband(650e-9, 40e-9) }),
  'spectrum of mercury': () => spectrumPlot(lamp('mercury')),
  chromaticity: () => chromaticityPath(strip, { along: 'milliradians' }),
  'near to far': () =>
    nearToFar(slits(1, { width: 5e-4 }), 550e-9, [0.02, 0.1, 0.3, 1], { points: 301 }),
  vernier: () =>
    vernierFigure((212 + 18 / 60 + 40 / 3600) * (Math.PI / 180), {
      leastCount: (20 * Math.PI) / 648000,
    }),
  'vernier, magnified': () => vernierFigure((12 + 47 / 60) * (Math.PI / 180), { magnify: 15 }),
  readings: () =>
    linePlot(
      [
        { ...readings, uy: 2e-5, name: 'readings' },
        { x: [0, 0.09], y: [0, 0.0018], as: 'line', name: 'fitted line' },
      ],
      { ...axes, title: 'Fringe spacing' },
    ),
  'fit of many points': () => {
    const x = few.map((s) => 0.3 * s);
    const model = (v: number) => 1000 * intensity(two, 550e-9, v / 0.3) + 20;
    const random = seeded('readings');
    const y = x.map((v) => Math.min(900, model(v) + 15 * random.normal()));
    const saturated = y.map((v) => (v === 900 ? 1 : 0));
    return fitPlot({ x, y, u: 15, saturated }, model, {
      x: { quantity: 'position x', unit: 'mm' },
      y: { quantity: 'signal', unit: 'counts' },
    });
  },
  fit: () =>
    fitPlot({ ...readings, u: 2e-5 }, (x) => 0.02 * x, {
      ...axes,
      fit: { parameters: [{ value: 0.02, u: 1.5e-4 }], reducedChiSquare: 0.9, converged: true },
    }),
};
