import { describe, expect, test } from 'vitest';
import { illuminant, lamp, laser, sunlight, telescopeView } from '../../kernel-lib/index';

const degree = Math.PI / 180;
/** Y of each place. */
const bright = (view: { xyz: Float64Array }) => view.xyz.filter((_, i) => i % 3 === 1);
const sineOf = (incidence: number) => (angle: number) =>
  Math.sin(angle + incidence) - Math.sin(incidence);

/** [sin(Nx) / (N sin x)]², x = π d s / λ: N slits without width (common practice, no source). */
function grating(count: number, spacing: number, wavelength: number, s: number): number {
  const x = (Math.PI * spacing * s) / wavelength;
  const below = Math.sin(x);
  if (Math.abs(below) < 1e-9) return 1;
  return (Math.sin(count * x) / (count * below)) ** 2;
}

describe('the field of a spectrometer’s telescope', () => {
  test.each([
    [5, 20e-6, 0, 30e-6],
    [50, 10e-6, 0.2, 100e-6],
    [400, 2e-6, -0.4, 60e-6],
  ])('of %i lines is the plain sum over the source slit', (lines, spacing, incidence, width) => {
    const wavelength = 589.3e-9;
    const angle = Math.asin(wavelength / spacing + Math.sin(incidence)) - incidence;
    const field = Math.min(0.3, (8 * wavelength) / (lines * spacing));
    const view = telescopeView(laser(wavelength), {
      ...{ spacing, lines, incidence, field, telescope: angle, points: 801 },
      ...{ sourceWidth: width, collimatorFocalLength: 0.25 },
    });
    // The mean over the slit's image, each thread of the slit making the pattern of N lines.
    const image = (Math.cos(incidence) * width) / 0.25;
    const sine = sineOf(incidence);
    const ours = bright(view);
    const plain = view.angles.map((at) => {
      let sum = 0;
      const THREADS = 400;
      for (let k = 0; k < THREADS; k++)
        sum += grating(lines, spacing, wavelength, sine(at) + ((k + 0.5) / THREADS - 0.5) * image);
      return sum / THREADS;
    });
    const factor = Math.max(...ours) / Math.max(...plain);
    const off = ours.map((value, i) => Math.abs(value / factor - plain[i]));
    expect(Math.max(...off)).toBeLessThan(2e-3);
  });

  test('two equal lines at Rayleigh’s distance have a dip to 8/π² between them', () => {
    // mN = λ/Δλ, the first dark place of one on the other (Rayleigh 1879, cited from memory); 8/π² = 0.8106.
    const [wavelength, lines, spacing] = [600e-9, 2000, 1e-3 / 600];
    const apart = wavelength / (1 * lines);
    const pair = {
      name: 'a pair',
      lines: [wavelength, wavelength + apart].map((at) => ({ wavelength: at, power: 1 })),
    };
    const middle = Math.asin((wavelength + apart / 2) / spacing);
    const view = telescopeView(pair, { spacing, lines, telescope: middle, field: 0.15 * degree });
    const y = bright(view);
    const step = view.angles[1] - view.angles[0];
    const at = (angle: number) => Math.round((angle - view.angles[0]) / step);
    const peak = (one: number) => y[at(Math.asin(one / spacing))];
    const dip = y[at(middle)] / Math.max(peak(wavelength), peak(wavelength + apart));
    expect(dip).toBeGreaterThan(0.8);
    expect(dip).toBeLessThan(0.83);
  });

  test.each([
    // λ/Δλ of the pair is 589.3/0.597 = 986 (wavelengths by NIST, as data/SOURCES.md says).
    [1, 2000, 10e-6, true],
    [1, 500, 10e-6, false],
    [2, 700, 10e-6, true],
    [1, 12000, 10e-6, true],
    // A slit whose image is as broad as 1.5 times their distance fills it, however many lines there are.
    [1, 12000, 170e-6, false],
  ])(
    'sodium in order %i of %i lines behind a slit of %f m: apart %s',
    (order, lines, width, apart) => {
      const spacing = 1e-3 / 600;
      const [one, other] = [588.9951e-9, 589.5924e-9].map((at) =>
        Math.asin((order * at) / spacing),
      );
      const view = telescopeView(lamp('sodium'), {
        ...{ spacing, lines, sourceWidth: width, collimatorFocalLength: 0.3 },
        ...{ telescope: (one + other) / 2, field: 12 * (other - one) },
      });
      const y = bright(view);
      const [from, to] = [one, other].map((at) => view.angles.findIndex((angle) => angle >= at));
      const between = Math.min(...y.subarray(from, to + 1));
      expect(between < 0.9 * Math.min(y[from], y[to])).toBe(apart);
    },
  );

  test('a continuous spectrum is as bright as its share in the slit’s image, and orders lie over each other', () => {
    const flat = {
      name: 'flat',
      continuum: { wavelengths: [380e-9, 780e-9], power: [1, 1] },
    };
    const [spacing, width, focal] = [1e-3 / 300, 40e-6, 0.2];
    const see = (wavelength: number, order: number) =>
      telescopeView(flat, {
        ...{ spacing, lines: 20_000, sourceWidth: width, collimatorFocalLength: focal },
        ...{
          telescope: Math.asin((order * wavelength) / spacing),
          field: 0.4 * degree,
          points: 401,
        },
      }).xyz.subarray(600, 603);
    // ∫ over the slit's image b of dλ = (d/m) ds, times ȳ(555 nm) = 1: d b / m (by hand; CIE 018:2019 for ȳ).
    const b = width / focal;
    expect(see(555e-9, 1)[1] / (spacing * b)).toBeCloseTo(1, 2);
    // 3 × 440 nm falls on 2 × 660 nm: the sum of both, ȳ = 0.023 and 0.061.
    const both = see(660e-9, 2);
    expect(both[1] / (spacing * b)).toBeCloseTo(0.061 / 2 + 0.023 / 3, 2);
  });

  test('straight ahead every light is white or as it is, and a grazing place is dark', () => {
    const ahead = telescopeView(illuminant('D65'), {
      ...{ spacing: 2e-6, lines: 5000, sourceWidth: 1e-3, field: degree },
    });
    const middle = ahead.srgb.subarray(3 * 600, 3 * 601);
    expect([...middle].every((level) => level > 250)).toBe(true);
    const beyond = telescopeView(sunlight(), {
      spacing: 2e-6,
      lines: 5000,
      telescope: 100 * degree,
    });
    expect(Math.max(...beyond.srgb)).toBe(0);
  });

  test.each([
    [{ spacing: 600 * 1e3, lines: 2.5 }, 'lines must be a whole number'],
    [{ spacing: 0, lines: 5 }, 'spacing must be greater than 0'],
    [{ spacing: 1e-6, lines: 5, width: 3 }, 'no parameter width'],
    [{ spacing: 1e-6, lines: 5, incidence: 45 }, 'Was it in degrees?'],
  ])('bad input is told: %o', (options, words) => {
    expect(() => telescopeView(lamp('sodium'), options as never)).toThrow(words);
  });
});
