import { describe, expect, test } from 'vitest';
import { changed } from '../../kernel-lib/figures/bench/change';
import { benchPattern, readPlace } from '../../kernel-lib/figures/bench/compute';
import { isEnd } from '../../kernel-lib/figures/bench/ends';
import { type BenchSetting, startSetting } from '../../kernel-lib/figures/bench/setting';
import { benchTelescope, ordersToSet, pairWords } from '../../kernel-lib/figures/bench/telescope';
import { nearField, slits } from '../../kernel-lib/index';

const of = (change: Partial<BenchSetting>) => benchPattern(changed(startSetting, change));
const farthest = (one: ArrayLike<number>, other: ArrayLike<number>) =>
  Array.from(one).reduce((most, value, i) => Math.max(most, Math.abs(value - other[i])), 0);

/** Width between the outermost places of half the brightness. */
function widthOf({ brightness: { places, values } }: ReturnType<typeof of>): number {
  const above = [...places].filter((_, i) => values[i] >= 0.5);
  return above[above.length - 1] - above[0];
}

describe('no obstacle', () => {
  const image = { stand: 'open', light: 'laser', wavelength: 550e-9 } as const;

  test.each([
    // Slit × f / f of the collimator (by hand): 100 µm × 300/200 = 150 µm.
    [{ sourceWidth: 100e-6, collimatorFocalLength: 0.2, lensDiameter: 30e-3, span: 0.4e-3 }, 150],
    // 0.885893 λ f / D of a line (tests/reference: sinc², full width at half maximum): 0.885893 · 0.55 · 300 / 2 = 73.1 µm.
    [{ sourceWidth: 0, lensDiameter: 2e-3, span: 0.4e-3 }, 73.1],
    // A film that runs together over 80 µm: a box as wide.
    [{ sourceWidth: 0, lensDiameter: 40e-3, span: 0.4e-3, blur: 80e-6 }, 80],
  ])('the slit’s image is as wide as slit, opening or film make it: %o', (change, micrometres) => {
    const pattern = of({ ...image, ...change });
    expect(Math.abs(widthOf(pattern) * 1e6 - micrometres)).toBeLessThan(1.5);
    const told = Number(/is ([\d.]+) µm wide/.exec(pattern.words)![1]);
    expect(Math.abs(told - micrometres)).toBeLessThan(1.5);
    expect(pattern.strip.burntOut.includes(1)).toBe(false);
  });

  test('the film shown follows there and back', () => {
    const open = changed(startSetting, { stand: 'open' });
    expect(open.span).toBeCloseTo(1e-3, 9);
    expect(changed(open, { stand: 'film' })).toEqual(startSetting);
    expect(() => changed(open, { span: 0.05 })).toThrow('a smaller opening');
  });
});

describe('a screen without a lens', () => {
  const aperture = slits(3, { width: 40e-6, spacing: 100e-6 });
  const light = { light: 'laser', wavelength: 550e-9 } as const;

  test.each([0.01, 0.1, 1])(
    'at %f m is the near field, against its brightest place',
    (distance) => {
      const pattern = of({ ...light, stand: 'screen', screenDistance: distance, span: 2e-3 });
      const { places, values } = pattern.brightness;
      const plain = nearField(aperture, 550e-9, distance, places);
      const top = plain.reduce((a, b) => Math.max(a, b));
      expect(
        farthest(
          values,
          plain.map((value) => value / top),
        ),
      ).toBeLessThan(2e-3);
    },
  );

  test('goes over into the far field as it moves away, and says so', () => {
    const words = [0.01, 0.3, 10].map(
      (screenDistance) => of({ ...light, stand: 'screen', screenDistance }).words,
    );
    // F = w²/λz, w = 120 µm: 2.618, 0.0873, 0.0026 (by hand).
    expect(words[0]).toMatch(/^Fresnel number 2\.6 at 550 nm: near field/);
    expect(words[1]).toMatch(/^Fresnel number 0\.087 at 550 nm: far field/);
    expect(words[2]).toMatch(/^Fresnel number 0\.0026 at 550 nm: far field/);
  });
});

test('light from a distance alone leaves the far field the less, the farther it comes', () => {
  const far = of({ light: 'laser', wavelength: 550e-9, slits: 3 });
  const off = [0.2, 0.6, 20].map((sourceDistance) => {
    const pattern = of({ light: 'laser', wavelength: 550e-9, beam: 'distance', sourceDistance });
    expect(farthest(pattern.brightness.places, far.strip.positions)).toBeLessThan(1e-12);
    const { values, places } = pattern.brightness;
    const formula = places.map((x) => {
      const s = x / 0.3;
      const [a, d] = [(Math.PI * 40e-6 * s) / 550e-9, (Math.PI * 100e-6 * s) / 550e-9];
      const one = a === 0 ? 1 : Math.sin(a) / a;
      const many = Math.abs(Math.sin(d)) < 1e-12 ? 1 : Math.sin(3 * d) / (3 * Math.sin(d));
      return (one * many) ** 2;
    });
    return farthest(values, formula);
  });
  expect(off[0]).toBeGreaterThan(3 * off[1]);
  expect(off[1]).toBeGreaterThan(off[2]);
  expect(off[2]).toBeLessThan(0.001);
});

test('what is read at a place is what stands there', () => {
  const pattern = of({ stand: 'screen', screenDistance: 0.5, slits: 2, light: 'sodium' });
  expect(isEnd(pattern.setting)).toBe(true);
  const reading = readPlace(pattern, 2e-3);
  expect(reading.deviation).toBeCloseTo(Math.atan(2e-3 / 0.5), 12);
  // s d / λ: 0.004 · 100 µm / 589 nm (by hand).
  expect(reading.order).toBeCloseTo(0.679, 2);
  expect(reading.brightness).toBeGreaterThan(0);
});

test('the telescope is turned by the grating equation, and sodium’s pair is told apart as slit and lines decide', () => {
  const setting = changed(startSetting, {
    ...{ stand: 'spectrometer', light: 'sodium', sourceWidth: 10e-6, field: 0.003 },
  });
  // arcsin(m · 0.6 · 0.5889951): 20.6952° and 44.97° (grating equation, wavelengths as data/SOURCES.md says).
  const orders = ordersToSet(setting);
  const at = (order: number) => orders.find((one) => one.order === order)!.telescope;
  expect((at(1) * 180) / Math.PI).toBeCloseTo(20.6952, 3);
  expect((at(2) * 180) / Math.PI).toBeCloseTo((Math.asin(1.2 * 0.5889951) * 180) / Math.PI, 3);
  const words = (change: Partial<BenchSetting>) =>
    pairWords(benchTelescope(changed(setting, { telescope: at(1), ...change })));
  // λ/Δλ = 589.3/0.5973 = 986.6.
  expect(words({ ruled: 3000 }).what).toContain('Two lines');
  expect(words({ ruled: 500 }).what).toContain('run into one');
  expect(words({ ruled: 3000, sourceWidth: 300e-6 }).what).toContain('run into one');
  expect(words({ ruled: 3000 }).measure).toContain('λ / Δλ = 986');
});
