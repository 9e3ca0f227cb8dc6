import { describe, expect, test } from 'vitest';
import { intensity } from '../../kernel-lib/aperture/intensity';
import { changed, limitsOf } from '../../kernel-lib/figures/bench/change';
import { benchPattern, readPlace } from '../../kernel-lib/figures/bench/compute';
import { touchingWords } from '../../kernel-lib/figures/bench/describe';
import { startSetting } from '../../kernel-lib/figures/bench/setting';
import { BenchModel } from '../../kernel-lib/page/bench/bench-model';
import { readingWords } from '../../kernel-lib/page/bench/reading';

const red = changed(startSetting, { light: 'laser', wavelength: 632.8e-9, slits: 4, span: 0.04 });

test('an order is read where the grating equation puts it, at any incidence', () => {
  // sin θ = sin θi + mλ/d, x = f tan(θ − θi); worked by hand for d = 100 µm, λ = 632.8 nm, f = 300 mm:
  // θi = 0, m = 2: sin θ = 0.012656, x = 3.7971 mm. θi = 30°, m = 1: sin θ = 0.506328, θ = 30.41955°, x = 2.1967 mm.
  const straight = readPlace(benchPattern(red), 3.7971e-3);
  expect(straight.order).toBeCloseTo(2, 4);
  expect(straight.intensity).toBeCloseTo(
    intensity(benchPattern(red).aperture, 632.8e-9, 0.012656),
    4,
  );
  const slanted = readPlace(benchPattern(changed(red, { incidence: Math.PI / 6 })), 2.1967e-3);
  expect(slanted.order).toBeCloseTo(1, 3);
  expect((slanted.angle * 180) / Math.PI).toBeCloseTo(30.41955, 3);
});

test('the arrows add up to the amplitude, and close where it is dark', () => {
  const pattern = benchPattern(red);
  const ahead = readPlace(pattern, 0);
  expect(ahead.intensity).toBeCloseTo(1, 12);
  expect(ahead.phasors.map(({ length }) => length)).toEqual([0.25, 0.25, 0.25, 0.25]);
  // Four slits: dark a quarter of the way to the first order, s = λ/(4d) (common practice, no source).
  const s = 632.8e-9 / 400e-6;
  const dark = readPlace(pattern, 0.3 * Math.tan(Math.asin(s)));
  expect(dark.intensity).toBeLessThan(1e-20);
  expect(dark.order).toBeCloseTo(0.25, 9);
});

test('beyond the film’s end its end is read', () => {
  expect(readPlace(benchPattern(red), 1).place).toBe(0.02);
});

/** A bench whose frames and clock the test moves. */
function benchByHand() {
  const frames: (() => void)[] = [];
  let now = 0;
  const model = new BenchModel(
    startSetting,
    (draw) => frames.push(draw),
    () => now,
  );
  return {
    model,
    frames,
    frame: () => {
      for (const draw of frames.splice(0)) draw();
    },
    wait: (ms: number) => {
      now += ms;
    },
  };
}

test('many moves within a frame are computed once, and one move has one ghost', () => {
  const { model, frames, frame, wait } = benchByHand();
  const first = model.pattern.value;
  for (const width of [41e-6, 42e-6, 43e-6]) model.slide('width', width);
  expect(frames).toHaveLength(1);
  frame();
  expect(model.pattern.value.setting.width).toBe(43e-6);
  wait(100);
  model.slide('width', 44e-6);
  frame();
  expect(model.ghost.value).toBe(first);
  const second = model.pattern.value;
  wait(2000);
  model.slide('width', 45e-6);
  expect(model.ghost.value).toBe(second);
  frame();
  const third = model.pattern.value;
  model.change({ slits: 5 });
  expect(model.ghost.value).toBe(third);
});

test('a slider stops where the slits would touch; a typed value is refused with a sentence', () => {
  const { model } = benchByHand();
  model.slide('width', 180e-6);
  expect(model.setting.value.width).toBe(100e-6);
  expect(model.type('spacing', '90')).toBe(false);
  expect(model.fault.value).toEqual({
    at: 'spacing',
    what: 'The slits would overlap: 100 µm wide, 90 µm apart. Make them narrower or move them apart.',
  });
  expect(model.setting.value.spacing).toBe(100e-6);
});

/** Light of slits by adding up the waves of many points in each, as Huygens did; 1 in the middle. */
function addedUp(
  count: number,
  { wavelength, width, spacing }: { wavelength: number; width: number; spacing: number },
  s: number,
): number {
  const points = 400;
  let [re, im] = [0, 0];
  for (let slit = 0; slit < count; slit++)
    for (let k = 0; k < points; k++) {
      const place = slit * spacing + ((k + 0.5) / points) * width;
      re += Math.cos((2 * Math.PI * place * s) / wavelength);
      im += Math.sin((2 * Math.PI * place * s) / wavelength);
    }
  return (re * re + im * im) / (count * points) ** 2;
}

describe('brightness is read at the place itself', () => {
  const wavelength = 632.8e-9;
  const slits = { wavelength, width: 40e-6, spacing: 100e-6 };

  test.each([
    [20, 0.093e-3],
    [20, 0.0913e-3],
    [50, 0.0379e-3],
    [50, 1.8984e-3],
  ])('%i slits at %f m: brightness and |A|² are the same, and what waves add up to', (count, x) => {
    const pattern = benchPattern(changed(startSetting, { light: 'laser', slits: count }));
    const { brightness, intensity: square } = readPlace(pattern, x);
    const truth = addedUp(count, slits, Math.sin(Math.atan(x / 0.3)));
    expect(Math.abs(square - truth)).toBeLessThan(2e-5);
    expect(Math.abs(brightness - truth)).toBeLessThan(2e-5);
  });

  test.each(['filament', 'sunlight', 'sodium', 'laser'] as const)(
    'of 50 slits in %s the middle is 1',
    (light) => {
      const pattern = benchPattern(changed(startSetting, { light, slits: 50 }));
      expect(readPlace(pattern, 0).brightness).toBeCloseTo(1, 9);
      const { places, values } = pattern.brightness;
      expect(places[(places.length - 1) / 2]).toBe(0);
      expect(values[(values.length - 1) / 2]).toBeCloseTo(1, 9);
    },
  );

  test('a curve between its points is what is read there, in every light', () => {
    for (const light of ['filament', 'mercury'] as const) {
      const pattern = benchPattern(changed(startSetting, { light, slits: 30, spacing: 150e-6 }));
      const { places, values } = pattern.brightness;
      for (const share of [0.51, 0.55, 0.63, 0.78]) {
        const i = Math.round(share * (places.length - 1));
        const { brightness } = readPlace(pattern, places[i]);
        expect([light, share, brightness]).toEqual([light, share, expect.closeTo(values[i], 5)]);
      }
    }
  });

  test('a place a hair to the left of the middle has no minus sign before zeros', () => {
    const { model } = benchByHand();
    const words = readingWords(model, readPlace(model.pattern.value, -1e-9));
    expect([words.place, words.order, words.deviation]).toEqual(['0.000 mm', '0.00', '0° 00′ 00″']);
    expect(readingWords(model, readPlace(model.pattern.value, -1e-3)).place).toBe('−1.000 mm');
  });
});

describe('the wavelength that is read follows the light', () => {
  test('behind a filter the middle of its band, a lamp’s brightest line, without a filter green again', () => {
    const filtered = changed(startSetting, { filter: true, bandCentre: 650e-9 });
    expect(filtered.reading).toBeCloseTo(650e-9, 12);
    expect(changed(filtered, { bandCentre: 480e-9 }).reading).toBeCloseTo(480e-9, 12);
    expect(changed(filtered, { filter: false }).reading).toBe(550e-9);
    // Of mercury’s lines 435.833 nm is the only strong one near 436 nm (NIST ASD, data/lamp_lines.csv).
    const blue = { filter: true, bandCentre: 436e-9, bandWidth: 10e-9 };
    expect(changed(startSetting, { light: 'mercury', ...blue }).reading).toBeCloseTo(435.83e-9, 11);
    expect(benchPattern(changed(filtered, { light: 'laser' })).reading).toBe(632.8e-9);
  });

  test('a wavelength that the light lacks cannot be read', () => {
    const filtered = changed(startSetting, { filter: true });
    expect(limitsOf(filtered, 'reading')).toEqual([
      expect.closeTo(530e-9, 15),
      expect.closeTo(570e-9, 15),
    ]);
    expect(changed(filtered, { reading: 700e-9 }).reading).toBe(550e-9);
    const { model } = benchByHand();
    model.change({ filter: true });
    expect(model.type('reading', '700')).toBe(false);
    expect(model.fault.value).toEqual({
      at: 'reading',
      what: 'The light has wavelengths from 530 nm to 570 nm only: read it there.',
    });
    // Of sodium there are two lines, 589.0 and 589.6 nm: the nearer one is taken.
    expect(changed(startSetting, { light: 'sodium', reading: 700e-9 }).reading).toBeCloseTo(
      589.592e-9,
      12,
    );
  });
});

test('absolute brightness grows with the square of the number of open slits (common practice, no source)', () => {
  const gains = [1, 2, 3, 5, 16].map(
    (slits) => benchPattern(changed(startSetting, { slits, absolute: true })).gain,
  );
  expect(gains).toEqual([1, 4, 9, 25, 256]);
  expect(benchPattern(changed(startSetting, { slits: 5, blocked: 2 })).gain).toBe(16);
  // Eight slits give 64 times the light of one: at an exposure of 1/64 their middle just fills the film.
  const eight = benchPattern(
    changed(startSetting, { light: 'laser', slits: 8, absolute: true, exposure: 1 / 64 }),
  );
  expect(Math.max(...eight.strip.srgb)).toBe(255);
  expect(eight.strip.burntOut.includes(1)).toBe(false);
  const more = benchPattern(changed(eight.setting, { exposure: 1 / 60 }));
  expect(more.strip.burntOut[600]).toBe(1);
});

describe('strips to compare', () => {
  test('two that differ have labels that differ', () => {
    const { model } = benchByHand();
    const start = { ...startSetting, slits: 3 };
    model.pin([
      start,
      ...[
        { span: 30e-3 },
        { focalLength: 0.5 },
        { exposure: 3 },
        { scale: 'log' as const },
        { absolute: true },
        { sourceWidth: 50e-6 },
        { sourceWidth: 50e-6, collimatorFocalLength: 0.4 },
        { incidence: 0.1 },
        { placeError: 2e-6 },
        { placeError: 2e-6, ruling: 4, blocked: 2 },
        { light: 'sodium' as const },
      ].map((change) => changed(start, change)),
    ]);
    const labels = model.pins.value.map(({ label, taken }) => `${label}, ${taken}`);
    expect(labels).toHaveLength(12);
    expect(new Set(labels).size).toBe(12);
    expect(labels[1]).toContain('30 mm of film');
    expect(model.pinFault.value).toBe('');
  });

  test('one that is not pinned, or taken down to make room, is told of there', () => {
    const { model } = benchByHand();
    model.change({ slits: 1, width: 150e-6 });
    model.pinCounts([1, 2, 3]);
    expect(model.pins.value).toHaveLength(1);
    expect(model.pinFault.value).toMatch(
      /^2 and 3 slits: not pinned\. The slits would overlap: 150 µm wide, 100 µm apart[^:]*$/,
    );
    expect(model.fault.value).toBeUndefined();
    model.pin([startSetting]);
    expect(model.pinFault.value).toBe('');
    for (let i = 0; i < 11; i++) model.pin([startSetting]);
    expect(model.pins.value).toHaveLength(12);
    expect(model.pinFault.value).toBe('The oldest strip was taken down: there is room for 12.');
    model.unpinAll();
    expect(model.pinFault.value).toBe('');
  });
});

test('slits that touch are said to be one opening', () => {
  const { model } = benchByHand();
  expect(touchingWords(model.setting.value)).toBe('');
  model.slide('width', 180e-6);
  expect(touchingWords(model.setting.value)).toBe(
    'The slits touch: 3 of 100 µm, side by side, are one opening 300 µm wide. Make them narrower or move them apart.',
  );
  // And so they are: three slits of 100 µm side by side send the light of one of 300 µm.
  const x = 0.9e-3;
  const [three, one] = [
    model.setting.value,
    changed(startSetting, { slits: 1, width: 200e-6 }),
  ].map((setting) => readPlace(benchPattern(changed(setting, { light: 'laser' })), x).intensity);
  const s = Math.sin(Math.atan(x / 0.3));
  const sinc = (width: number) =>
    Math.sin((Math.PI * width * s) / 632.8e-9) / ((Math.PI * width * s) / 632.8e-9);
  expect(three).toBeCloseTo(sinc(300e-6) ** 2, 9);
  expect(one).toBeCloseTo(sinc(200e-6) ** 2, 9);
});
