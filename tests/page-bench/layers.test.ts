import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { changed } from '../../kernel-lib/figures/bench/change';
import { benchPattern, readPlace } from '../../kernel-lib/figures/bench/compute';
import { changeWords } from '../../kernel-lib/figures/bench/describe';
import {
  coloursAlong,
  envelopeOf,
  growth,
  type Layer,
  layersPart,
  missingMarks,
  orderMarks,
  ordersOfSeveral,
  pathDifference,
  readLayers,
  startLayers,
} from '../../kernel-lib/figures/bench/layers';
import {
  type BenchSetting,
  parameters,
  startSetting,
} from '../../kernel-lib/figures/bench/setting';
import { BenchModel } from '../../kernel-lib/page/bench/bench-model';
import { grow } from '../../kernel-lib/page/bench/layers';

const at = (change: Partial<BenchSetting>) => changed(startSetting, change);
const model = (change: Partial<BenchSetting> = {}) => new BenchModel(at(change), (draw) => draw());

/** |amplitude|² of light through openings in one direction, by adding little pieces of them; 1 straight ahead. */
function added(centres: readonly number[], width: number, wavelength: number, sine: number) {
  const PIECES = 400;
  let [re, im] = [0, 0];
  for (const centre of centres) {
    for (let i = 0; i < PIECES; i++) {
      const phase =
        (2 * Math.PI * (centre + ((i + 0.5) / PIECES - 0.5) * width) * sine) / wavelength;
      re += Math.cos(phase);
      im += Math.sin(phase);
    }
  }
  const all = PIECES * centres.length;
  return (re * re + im * im) / (all * all);
}

describe('layers of the bench', () => {
  test('the envelope is what one slit does alone, summed piece by piece', () => {
    const pattern = benchPattern(at({ light: 'laser', slits: 5 }));
    const { places, values } = envelopeOf(pattern);
    for (const i of [0, 150, 333, 480, 600, 777, 1200]) {
      const sine = Math.sin(Math.atan(places[i] / 0.3));
      expect(values[i]).toBeCloseTo(added([0], 40e-6, 632.8e-9, sine), 4);
    }
    // No maximum of the five stands above it.
    const { brightness } = pattern;
    brightness.values.forEach((value, i) => {
      const sine = Math.sin(Math.atan(brightness.places[i] / 0.3));
      const half = (Math.PI * 40e-6 * sine) / 632.8e-9;
      expect(value).toBeLessThanOrEqual((half === 0 ? 1 : (Math.sin(half) / half) ** 2) + 1e-9);
    });
  });

  test('orders lie where the paths of neighbouring slits differ by whole waves, at any incidence', () => {
    for (const incidence of [0, 0.2]) {
      const marks = orderMarks(at({ light: 'laser', incidence }), 632.8e-9);
      expect(marks.length).toBeGreaterThan(5);
      for (const { order, place } of marks) {
        // The way from a far source to one slit and on to a far point, less that by its neighbour 100 µm beside it.
        const FAR = 1e4;
        const theta = incidence + Math.atan(place / 0.3);
        const from = [FAR * -Math.cos(incidence), FAR * -Math.sin(incidence)];
        const to = [FAR * Math.cos(theta), FAR * Math.sin(theta)];
        const way = (y: number) => Math.hypot(from[0], from[1] - y) + Math.hypot(to[0], to[1] - y);
        expect((way(-50e-6) - way(50e-6)) / 632.8e-9).toBeCloseTo(order, 3);
      }
    }
    expect(orderMarks(at({ slits: 1 }), 550e-9)).toEqual([]);
  });

  test('an order is marked as missing where the slits together give nothing, and only there', () => {
    const pattern = benchPattern(at({ light: 'laser', slits: 3, width: 40e-6, spacing: 120e-6 }));
    const missing = missingMarks(pattern).map(({ order }) => order);
    const centres = [-120e-6, 0, 120e-6];
    for (const { order, place } of orderMarks(pattern.setting, 632.8e-9)) {
      const sine = Math.sin(Math.atan(place / 0.3));
      const dark = added(centres, 40e-6, 632.8e-9, sine) < 1e-6;
      expect([order, missing.includes(order)]).toEqual([order, dark]);
    }
    expect(missing).toEqual([-3, 3]);
  });

  test('the path difference is in waves what the order is, and turns each arrow by its rest', () => {
    const pattern = benchPattern(at({ light: 'laser', slits: 4 }));
    const reading = readPlace(pattern, 1.6e-3);
    const { length, waves, turn } = pathDifference(pattern, reading);
    expect(length).toBeCloseTo(100e-6 * Math.sin(Math.atan(1.6 / 300)), 12);
    expect(waves).toBeCloseTo(length / 632.8e-9, 9);
    // From one arrow to the next, as they lie in the polygon; a longer path lags behind.
    const [one, next] = reading.phasors.map(({ from, to }) =>
      Math.atan2(to.im - from.im, to.re - from.re),
    );
    const lag = (one - next) / (2 * Math.PI);
    expect(lag - Math.round(lag)).toBeCloseTo(turn, 9);
  });

  test('several wavelengths are those that the light has', () => {
    const of = (change: Partial<BenchSetting>) =>
      ordersOfSeveral(benchPattern(at(change))).map(({ name }) => name);
    expect(of({})).toEqual(['450 nm', '650 nm']);
    expect(of({ light: 'laser' })).toEqual([]);
    expect(of({ filter: true, bandCentre: 546e-9, bandWidth: 10e-9 })).toEqual([
      '541 nm',
      '551 nm',
    ]);
    // Mercury's blue, green and yellow lines (NIST Handbook of Basic Atomic Spectroscopic Data, from memory: 435.8, 546.1, 577.0, 579.1 nm).
    expect(of({ light: 'mercury' })).toEqual(['435.8 nm', '577 nm', '579.1 nm']);
    expect(of({ slits: 1 })).toEqual([]);
  });

  test('the colour at the hairline is the sum over the spectrum by the observer’s table', () => {
    // CIE 1931 2° observer, 1 nm; illuminant A by its formula, Planck's law for 2848 K with c₂ = 1.435 cm K (ISO/CIE 11664-2, from memory).
    const rows = readFileSync('data/cie_1931_2deg_1nm.csv', 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .map((line) => line.split(',').map(Number));
    const pattern = benchPattern(at({ slits: 2 }));
    for (const place of [0, 0.9e-3, 1.7e-3, 4e-3]) {
      const sine = Math.sin(Math.atan(place / 0.3));
      const sum = [0, 0, 0];
      for (const [nm, ...bars] of rows) {
        const planck = nm ** -5 / (Math.exp(1.435e7 / (nm * 2848)) - 1);
        const [a, d] = [40e-6, 100e-6].map((length) => (Math.PI * length * sine) / (nm * 1e-9));
        const one = a === 0 ? 1 : Math.sin(a) / a;
        const light = planck * (one * Math.cos(d)) ** 2;
        for (let k = 0; k < 3; k++) sum[k] += light * bars[k];
      }
      const all = sum[0] + sum[1] + sum[2];
      const { xy } = readPlace(pattern, place);
      expect(xy?.[0]).toBeCloseTo(sum[0] / all, 3);
      expect(xy?.[1]).toBeCloseTo(sum[1] / all, 3);
    }
    const [first] = coloursAlong(pattern);
    expect(first).toEqual(readPlace(pattern, 0).xy?.map((one) => expect.closeTo(one, 4)));
    expect(readPlace(benchPattern(at({ light: 'laser', slits: 2 })), 0.9492e-3).xy).toBeUndefined();
  });

  test('slits are added one by one, up to those on the bench', () => {
    const counts = (slits: number) => growth(at({ slits })).map(({ slits: count }) => count);
    expect(counts(1)).toEqual([1]);
    expect(counts(5)).toEqual([1, 2, 3, 4, 5]);
    expect(counts(16)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 10, 13, 16]);
    // The blocked one is blocked as soon as it stands there, and the bench ends as it began.
    const blocked = growth(at({ slits: 4, blocked: 3 }));
    expect(blocked.map(({ blocked: which }) => which)).toEqual([0, 0, 3, 3]);
    expect(blocked.at(-1)).toEqual(at({ slits: 4, blocked: 3 }));
  });

  test('they stop where somebody else moves something, and where they are told to', async () => {
    const waiting: (() => void)[] = [];
    const wait = (then: () => void) => void waiting.push(then);
    const bench = model({ slits: 4 });
    const whole = grow(bench, wait);
    const seen: number[] = [];
    while (waiting.length > 0) {
      seen.push(bench.pattern.value.setting.slits);
      waiting.shift()!();
    }
    await whole;
    expect(seen).toEqual([1, 2, 3, 4]);
    expect(bench.isGrowing.value).toBe(false);

    const moved = grow(bench, wait);
    bench.change({ width: 30e-6 });
    waiting.shift()!();
    await moved;
    expect([bench.setting.value.slits, bench.isGrowing.value, waiting.length]).toEqual([
      1,
      false,
      0,
    ]);

    bench.change({ slits: 3 });
    const stopped = grow(bench, wait);
    await grow(bench, wait);
    waiting.shift()!();
    await stopped;
    expect(bench.setting.value.slits).toBe(1);
  });

  test('a link carries them, and names what it does not know', () => {
    expect(layersPart(startLayers)).toBe('');
    for (const layers of [[], ['envelope'], ['ghost', 'paths', 'colour']] as Layer[][]) {
      const part = layersPart(new Set(layers));
      expect([...readLayers(`#slits=2&${part}&step=1.ask`).layers]).toEqual(layers);
      expect(readLayers(`#slits=2&${part}&step=1.ask`).rest).toBe('slits=2&step=1.ask');
    }
    const { layers, faults } = readLayers('layers=envelope,sparkle');
    expect([...layers]).toEqual(['envelope']);
    expect(faults).toEqual(['"sparkle" in the link is no layer of the bench.']);
  });
});

describe('the hairline', () => {
  test('follows until it is clicked, then a second one can be set, and a click on one lets both go', () => {
    const bench = model();
    bench.point(1e-3);
    bench.click(1.2e-3, 1e-4);
    bench.point(3e-3);
    expect(bench.place.value).toBe(1.2e-3);
    bench.click(2.5e-3, 1e-4);
    bench.click(3.5e-3, 1e-4);
    expect([bench.place.value, bench.second.value]).toEqual([1.2e-3, 3.5e-3]);
    bench.click(3.45e-3, 1e-4);
    expect([bench.isLatched.value, bench.second.value]).toEqual([false, undefined]);
    bench.point(3e-3);
    expect(bench.place.value).toBe(3e-3);
  });
});

test('what changed is said with its value and the one before', () => {
  expect(changeWords(at({}), at({ slits: 5 }))).toBe('Number of slits 5, before 3.');
  expect(changeWords(at({}), at({ light: 'laser', absolute: true }))).toBe(
    'Light: laser 632.8 nm; Absolute brightness on.',
  );
  expect(changeWords(at({}), at({}))).toBe('');
  expect(changeWords(at({}), at({ slits: 2, width: 20e-6, spacing: 60e-6, focalLength: 1 }))).toBe(
    'On the bench now: 2 slits, 20 µm wide, 60 µm apart, filament lamp, camera f 1000 mm.',
  );
});

test('every choice and switch of the bench is said in the words that stand on it, not by its name in code', () => {
  const said = (from: Partial<BenchSetting>, to: Partial<BenchSetting>) =>
    changeWords(at(from), at({ ...from, ...to }));
  expect(said({}, { stand: 'spectrometer' })).toBe('In the light: a grating in a spectrometer.');
  expect(said({ stand: 'spectrometer' }, { vernier: '30sec' })).toBe('Verniers, to: 30″.');
  expect(said({ stand: 'spectrometer' }, { readings: true })).toBe('Tell the readings: on.');
  expect(said({ stand: 'screen' }, { beam: 'distance' })).toBe('Parallel by: distance alone.');
  expect(said({}, { stand: 'screen' })).toBe('In the light: slits, and a screen without a lens.');
  expect(said({}, { scale: 'log' })).toBe('Brightness: logarithmic, 4 decades.');
  // The slit's image is finer, so less film is shown of it.
  expect(said({}, { stand: 'open' })).toContain('In the light: no obstacle: the slit’s image');
  const others: { [Name in keyof BenchSetting]?: BenchSetting[Name] } = {
    ...{ light: 'sodium', filter: true, scale: 'log', absolute: true, stand: 'screen' },
    ...{ beam: 'distance', vernier: '10sec', readings: true },
  };
  const choices = Object.keys(startSetting).filter((name) => !Object.hasOwn(parameters, name));
  expect(Object.keys(others).sort()).toEqual(choices.sort());
  for (const [name, other] of Object.entries(others))
    expect(changeWords(startSetting, { ...startSetting, [name]: other })).not.toMatch(
      new RegExp(`^${name}\\b|undefined|: ${other}\\.`),
    );
});
