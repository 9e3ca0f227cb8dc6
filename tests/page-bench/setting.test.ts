import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readAddress, writeAddress } from '../../kernel-lib/figures/bench/address';
import { changed, checkSetting, limitsOf } from '../../kernel-lib/figures/bench/change';
import { benchPattern, readPlace } from '../../kernel-lib/figures/bench/compute';
import { liveCode, stripCode } from '../../kernel-lib/figures/bench/describe';
import {
  type BenchSetting,
  parameters,
  readValue,
  startSetting,
  writeValue,
} from '../../kernel-lib/figures/bench/setting';
import { benchTelescope } from '../../kernel-lib/figures/bench/telescope';
import * as multislit from '../../kernel-lib/index';
import { sliderScale, stepped } from '../../kernel-lib/page/bench/slider-scale';
import { steps } from '../../kernel-lib/page/bench/step-list';
import { settings } from './settings';

const library: Record<string, unknown> = { ...multislit };

/** Runs a line of code as a cell does: with the library's names and no others. */
function run(code: string): unknown {
  const [line, ...rest] = code.split('\n');
  const names = /^import \{ (.+) \} from 'multislit';$/.exec(line)![1].split(', ');
  const values = names.map((name) => library[name]);
  expect(values).not.toContain(undefined);
  return new Function(...names, `return ${rest.join('\n')}`)(...values);
}

const opened = (setting: BenchSetting) => (run(liveCode(setting)) as multislit.LiveBench).setting;

test('a link carries every parameter, to the last digit, and a line of code every one that slits and film have', () => {
  const ofOthers: (keyof BenchSetting)[] = [
    ...(['sourceDistance', 'screenDistance', 'lensDiameter', 'blur', 'linesPerMm'] as const),
    ...(['ruled', 'telescope', 'field', 'circleZero', 'eccentricity', 'offCentre'] as const),
    'magnifier',
  ];
  fc.assert(
    fc.property(settings, (setting) => {
      expect(readAddress(`#${writeAddress(setting)}`)).toEqual({ setting, pins: [], faults: [] });
      const others = Object.fromEntries(ofOthers.map((name) => [name, startSetting[name]]));
      expect(opened(setting)).toEqual({ ...setting, ...others });
      for (const name of ofOthers) expect(liveCode(setting)).not.toContain(`${name}:`);
    }),
    { seed: 20260611, numRuns: 60 },
  );
});

/** Everything moved, as far as it goes together. */
const moved: Partial<BenchSetting> = {
  ...{ light: 'mercury', filter: true, bandCentre: 546e-9, bandWidth: 20e-9, exposure: 2 },
  ...{ sourceWidth: 30e-6, collimatorFocalLength: 0.4, slits: 5, width: 30e-6, spacing: 90e-6 },
  ...{ blocked: 2, placeError: 1e-6, ruling: 4, incidence: 0.1, focalLength: 0.5, span: 0.01 },
  ...{ scale: 'log', absolute: true, sourceDistance: 4, screenDistance: 0.7, lensDiameter: 8e-3 },
  ...{ blur: 5e-6, linesPerMm: 300, ruled: 6000, telescope: 0.17, field: 0.02, circleZero: 1 },
  ...{ eccentricity: 5e-4, offCentre: 1, vernier: '30sec', magnifier: 7, readings: true },
};
const each: (Partial<BenchSetting> & Pick<BenchSetting, 'stand' | 'beam'>)[] = (
  ['film', 'screen', 'open', 'spectrometer'] as const
).flatMap((stand) => [
  { stand, beam: 'collimator' },
  { stand, beam: 'distance' },
]);

test.each(each)('what is left of the code of $stand with $beam shows the very same', (stand) => {
  const whole = changed(startSetting, { ...moved, ...stand });
  const again = opened(whole);
  if (stand.stand === 'spectrometer') {
    const [one, other] = [whole, again].map(({ ...setting }) => benchTelescope(setting));
    expect({ ...other, setting: 0 }).toEqual({ ...one, setting: 0 });
    expect(liveCode(whole)).not.toMatch(/\b(?:slits|width|spacing|focalLength):/);
    return;
  }
  const [one, other] = [whole, again].map((setting) => benchPattern(setting));
  expect(other.strip).toEqual(one.strip);
  expect(other.brightness).toEqual(one.brightness);
  expect(other.words).toBe(one.words);
  expect(readPlace(other, 1e-3)).toEqual(readPlace(one, 1e-3));
});

test('what follows another choice by itself is told where it was set back', () => {
  // Without slits a millimetre of film is shown, and behind a filter its middle is read, unless another is asked for.
  const open = changed(startSetting, { stand: 'open', span: startSetting.span });
  expect(opened(open).span).toBe(startSetting.span);
  const filter = { filter: true, bandCentre: 600e-9, bandWidth: 200e-9 };
  const read = changed(startSetting, { ...filter, reading: startSetting.reading });
  expect(opened(read).reading).toBe(startSetting.reading);
});

test('the code for a film strip makes the very strip that the bench shows', () => {
  const shown: BenchSetting[] = [
    startSetting,
    changed(startSetting, { light: 'laser', wavelength: 532e-9, slits: 10, blocked: 3 }),
    changed(startSetting, { slits: 7, blocked: 2, absolute: true, exposure: 0.02 }),
    changed(startSetting, { slits: 20, sourceWidth: 50e-6, collimatorFocalLength: 0.5 }),
    changed(startSetting, { filter: true, slits: 4, placeError: 3e-6, ruling: 7, scale: 'log' }),
    changed(startSetting, { slits: 50, spacing: 300e-6, incidence: 0.2, light: 'sodium' }),
    changed(startSetting, {
      light: 'filament',
      slits: 1,
      exposure: 20,
      absolute: true,
      focalLength: 1,
      span: 0.05,
    }),
  ];
  for (const setting of shown) {
    const code = stripCode(setting)
      .replace(/filmStripPicture\((.*)\)$/, '$1')
      .replace(/, filmStripPicture|filmStripPicture, /, '');
    const strip = run(code) as multislit.FilmStrip;
    const { strip: ours } = benchPattern(setting);
    expect(Array.from(strip.srgb)).toEqual(Array.from(ours.srgb));
    expect(strip.positions.at(-1)).toBe(ours.positions.at(-1));
  }
});

test('a link that was cut or altered gives what can be read of it and says what was left out', () => {
  const { setting, faults } = readAddress(
    '#slits=4&width=999um&spacing=2oo&brand=x&light=sunlight',
  );
  expect(setting).toEqual({ ...startSetting, light: 'sunlight', slits: 4 });
  expect(faults).toHaveLength(3);
  expect(faults[0]).toContain('Slit width goes from 1 µm to 250 µm');
  expect(readAddress('#slits=2&width=90um&spacing=50um').faults[0]).toContain('overlap');
  expect(readAddress('#light=candle').setting.light).toBe('filament');
  expect(readAddress('#%E0%A4%A=1').faults).toHaveLength(1);
});

test.each([
  ['width', '40', 40e-6],
  ['width', '0,04 mm', 40e-6],
  ['width', '40µm', 40e-6],
  ['width', '4e-5 m', 40e-6],
  ['focalLength', '30 cm', 0.3],
  ['exposure', '12×', 12],
  ['slits', '7', 7],
  ['incidence', '30', Math.PI / 6],
  ['incidence', '−12° 30′', (-12.5 * Math.PI) / 180],
] as const)('%s reads "%s"', (name, text, value) => {
  expect(readValue(parameters[name], text)).toBeCloseTo(value, 12);
});

test.each([
  ['width', '', 'empty'],
  ['width', 'wide', 'is not a number'],
  ['width', '40 kg', 'not a unit of length'],
  ['width', '-3', 'goes from 1 µm to 250 µm, but −3 µm'],
  ['slits', '2.5', 'whole number'],
  ['slits', '51', 'goes from 1 to 50'],
  ['exposure', '4 mm', 'has no unit'],
  ['incidence', 'steep', 'cannot be read'],
] as const)('%s refuses "%s" with a sentence', (name, text, part) => {
  expect(() => readValue(parameters[name], text)).toThrow(RangeError);
  expect(() => readValue(parameters[name], text)).toThrow(part);
});

test('what a field shows can be typed into it again', () => {
  fc.assert(
    fc.property(settings, (setting) => {
      for (const parameter of Object.values(parameters)) {
        const value = setting[parameter.name];
        expect(readValue(parameter, writeValue(parameter, value))).toBeCloseTo(value, 12);
      }
    }),
    { seed: 20260612, numRuns: 30 },
  );
});

test('settings that nobody could build are refused by name', () => {
  const refused = (change: object) => () => checkSetting({ ...startSetting, ...change });
  expect(refused({ width: 150e-6 })).toThrow('The slits would overlap: 150 µm wide, 100 µm apart');
  expect(refused({ blocked: 4 })).toThrow('there are only 3');
  expect(refused({ slits: 1, blocked: 1 })).toThrow('The only slit cannot be blocked');
  expect(refused({ light: 'candle' })).toThrow("The light must be 'filament'");
  expect(refused({ absolute: 'yes' })).toThrow('absolute must be true or false');
  expect(refused({ light: 'sodium', filter: true, bandCentre: 450e-9 })).toThrow(
    'Nothing of the light',
  );
  expect(refused({ slits: 50, spacing: 400e-6, span: 0.2 })).toThrow('Show less film');
  expect(refused({ colour: 'red' })).toThrow('has no parameter colour');
  expect(refused({ width: Number.NaN })).toThrow('Slit width must be a number');
  expect(() => multislit.live({ slits: 3.5 })).toThrow('whole number');
});

test('what belongs together changes together', () => {
  const blocked = changed(startSetting, { slits: 10, blocked: 9 });
  expect(changed(blocked, { slits: 9 }).blocked).toBe(9);
  expect(changed(blocked, { slits: 8 }).blocked).toBe(0);
  // The green mercury line and the stronger sodium line, NIST Atomic Spectra Database (data/lamp_lines.csv).
  expect(changed(startSetting, { light: 'mercury' }).reading).toBeCloseTo(546.075e-9, 12);
  expect(changed(startSetting, { light: 'sodium' }).reading).toBeCloseTo(588.995e-9, 12);
  expect(limitsOf(startSetting, 'width')[1]).toBe(startSetting.spacing);
  expect(limitsOf(startSetting, 'spacing')[0]).toBe(startSetting.width);
});

test('every step of a slider is another value within the range', () => {
  for (const parameter of Object.values(parameters)) {
    const scale = sliderScale(parameter);
    const values = Array.from({ length: scale.last + 1 }, (_, i) => scale.value(i));
    for (let i = 1; i < values.length; i++) expect(values[i]).toBeGreaterThan(values[i - 1]);
    for (const value of values) expect(scale.value(scale.position(value))).toBe(value);
    expect(stepped(parameter.name, values[0], -1)).toBe(values[0]);
    expect(stepped(parameter.name, values[0], 1)).toBe(values[1]);
  }
});

test('every step through the bench can be built and differs from the one before', () => {
  const made = steps.map(({ setting }) => changed(startSetting, setting));
  made.forEach((setting, i) => {
    expect(benchPattern(setting).brightness.values.every((Y) => Y >= 0)).toBe(true);
    if (i > 0) expect(setting).not.toEqual(made[i - 1]);
  });
});
