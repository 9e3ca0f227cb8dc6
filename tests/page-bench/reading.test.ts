import { expect, test } from 'vitest';
import { intensity } from '../../kernel-lib/aperture/intensity';
import { changed } from '../../kernel-lib/figures/bench/change';
import { benchPattern, readPlace } from '../../kernel-lib/figures/bench/compute';
import { startSetting } from '../../kernel-lib/figures/bench/setting';
import { BenchModel } from '../../kernel-lib/page/bench/bench-model';

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
