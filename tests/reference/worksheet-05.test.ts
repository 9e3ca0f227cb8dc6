import { describe, expect, test } from 'vitest';
import {
  chromaticity,
  excitationPurity,
  illuminant,
  intensity,
  linearInterpolant,
  minima,
  slits,
  sunlight,
  xyz,
} from '../../kernel-lib/index';
import key from '../../worksheets/05-from-slits-to-a-grating/key';
import { runModel } from '../worksheets/run-model';
import { expectedOf } from './expected-of';

// UP3 = OpenStax University Physics Volume 3, CP2 = OpenStax College Physics 2e: numbers only.
const { question, expected } = expectedOf(key);
const widthAxes = { x: { quantity: '1/N', unit: '1' }, y: { quantity: 'width', unit: 'mm' } };
const model = (ids: string[], name: string, given: object, more = {}) =>
  runModel(key.model, ids, name, { given, widthAxes, darkLinePlot: {}, ...more });
const degree = Math.PI / 180;

test('5.1: the first dark line of 12 slits is the first zero of the sum over slits', () => {
  const given = { count: 12, spacing: 80e-6, width: 30e-6, wavelength: 540e-9, focalLength: 0.5 };
  const aperture = slits(12, { width: given.width, spacing: given.spacing });
  const { s } = minima(aperture, given.wavelength, { from: 0, to: 0.005 })[0];
  const x = 0.5 * Math.tan(Math.asin(s));
  expect(expected('5.1', given)).toBeCloseTo(x, 12);
  expect(model(['5.1'], 'firstDark', given)).toBeCloseTo(1000 * x, 9);
  // λf/Nd by hand: 540 nm × 0.5 m / 0.96 mm.
  expect(1000 * x).toBeCloseTo(0.28125, 5);
});

describe('5.2, orders on top of each other', () => {
  test('UP3 Ex 4.5, CP2 Ex 27.3: 10 000 lines/cm send 380 nm to 22.33°, so 0.05 times as many lines send 7600 nm there', () => {
    const given = { angle: 22.33 * degree, lines: 0.05e6 };
    expected('5.2', given).forEach((wavelength: number, i: number) => {
      expect((wavelength * (4 + i)) / 20 / 380e-9).toBeCloseTo(1, 3);
    });
  });

  test('the model finds the same three, all of them and no others visible', () => {
    const given = { angle: Math.asin(0.8), lines: 312.5e3 };
    // d sin θ = 3.2 µm × 0.8 = 2560 nm; /4 640, /5 512, /6 426.7; /3 853 and /7 366 are not seen.
    const together: number[] = model(['5.2'], 'together', given);
    expect(together.map(Math.round)).toEqual([640, 512, 427]);
    expect((expected('5.2', given) as number[]).map((each) => Math.round(each * 1e9))).toEqual([
      640, 512, 427,
    ]);
  });
});

describe('5.3, the sodium pair', () => {
  test('needs about 1000 lines in the first order (common practice, no source)', () => {
    const given = { order: 1, lines: 1e6 };
    expect(model(['5.3'], 'litWidth', given)).toBeCloseTo(0.987, 3);
    expect(expected('5.3', given) * 1e3).toBeCloseTo(0.987, 3);
  });

  test('with so many, two equal lines leave between them the dip 8/π² = 0.811 of Rayleigh’s criterion', () => {
    const lines = 320e3;
    const count = Math.round(expected('5.3', { order: 2, lines }) * lines);
    const grating = slits(count, { width: 0.3 / lines, spacing: 1 / lines });
    const pair = [588.995e-9, 589.592e-9];
    const both = (wavelength: number) =>
      pair.reduce((sum, each) => sum + intensity(grating, each, 2 * wavelength * lines), 0);
    const dip = both((pair[0] + pair[1]) / 2) / both(pair[0]);
    expect(dip).toBeCloseTo(8 / Math.PI ** 2, 2);
  });
});

describe('5.4, 5.5, the red of the first order', () => {
  test('the function is the squared mean of the arrows themselves', () => {
    const given = { red: 640e-9 };
    const kept = model(['5.4'], 'kept', given);
    const asked = question('5.4');
    for (const [wavelength, count] of [
      [640e-9, 80],
      [610e-9, 3],
      [655e-9, 9],
      [637e-9, 16],
    ]) {
      let [re, im] = [0, 0];
      for (let n = 0; n < count; n++) {
        re += Math.cos((2 * Math.PI * n * 640e-9) / wavelength) / count;
        im += Math.sin((2 * Math.PI * n * 640e-9) / wavelength) / count;
      }
      expect(kept(wavelength, count)).toBeCloseTo(re * re + im * im, 9);
      expect(asked.kind === 'function' && asked.expected(given, wavelength, count)).toBeCloseTo(
        re * re + im * im,
        9,
      );
    }
  });

  const filament = illuminant('A');
  const wavelengths = Array.from({ length: 401 }, (_, i) => (380 + i) / 1e9);
  const { continuum } = filament;
  const power = wavelengths.map(linearInterpolant(continuum!.wavelengths, continuum!.power));
  const colour = (share: (wavelength: number) => number) =>
    chromaticity(
      xyz({
        name: 'what is left',
        continuum: { wavelengths, power: power.map((each, i) => each * share(wavelengths[i])) },
      }),
    );
  const white = chromaticity(xyz(filament));
  const purity = (share: (wavelength: number) => number) => excitationPurity(colour(share), white);

  // Plain sums in numpy over the arrows themselves: worksheet-05.py.
  test.each([
    { red: 630, purities: [0.9196, 0.9697, 0.9854, 0.9965] },
    { red: 645, purities: [0.9019, 0.9639, 0.9799, 0.9949] },
    { red: 660, purities: [0.8712, 0.9481, 0.9678, 0.9907] },
  ])('$red nm: purities $purities', ({ red, purities }) => {
    const given = { red: red / 1e9, slides: [3, 8, 15, 60] };
    for (const list of [
      expected('5.5', given) as readonly number[],
      model(['5.4', '5.5'], 'purities', given, { purity, colour, white, console: { log() {} } }),
    ])
      list.forEach((each: number, i: number) => {
        expect(Math.abs(each - purities[i])).toBeLessThan(0.001);
      });
  });
});

test('5.6: lines displaced to and fro make ghosts of the stated strength, by a plain sum over the lines', () => {
  const given = { lines: 320e3, ghostOrder: 4, ghostStrength: 0.006 };
  const swing = expected('5.6', given) as number;
  expect(model(['5.6'], 'swing', given) / 1e9).toBeCloseTo(swing, 15);
  const [count, period] = [4000, 200];
  /** Square of the mean arrow where neighbouring lines differ by `orders` wavelengths. */
  const bright = (orders: number) => {
    let [re, im] = [0, 0];
    for (let n = 0; n < count; n++) {
      const place = n + swing * given.lines * Math.sin((2 * Math.PI * n) / period);
      re += Math.cos(2 * Math.PI * orders * place) / count;
      im += Math.sin(2 * Math.PI * orders * place) / count;
    }
    return re * re + im * im;
  };
  for (const side of [-1, 1])
    expect(bright(4 + side / period) / bright(4) / 0.006).toBeCloseTo(1, 1);
  const mean = (bright(4 + 1 / period) + bright(4 - 1 / period)) / 2;
  expect(Math.abs(Math.sqrt(mean / bright(4) / 0.006) - 1)).toBeLessThan(0.01);
});

test('5.7: exact widths give the spacing back', () => {
  const counts = [3, 6, 12, 16, 24];
  const given = {
    counts,
    focalLength: 0.5,
    wavelength: 540e-9,
    // 2fλ/d = 0.54 m nm … / 75 µm = 7.2 mm, shared by N.
    centreWidths: counts.map((count) => 7.2e-3 / count),
    readingUncertainty: 5e-6,
  };
  expect(expected('5.7', given)).toBeCloseTo(75e-6, 12);
  expect(model(['5.7'], 'unlabelled', given)).toBeCloseTo(75, 6);
});

describe('5.8, dark lines', () => {
  // Wavelengths in air of tests/reference/lab-lines.csv (from NIST ASD) for sodium and hydrogen; the others from memory.
  test.each([
    ['hydrogen', 656.28],
    ['sodium', 589.29],
    ['hydrogen', 486.135],
    ['magnesium', 517.27],
    ['oxygen', 686.72],
  ])('%s at %f nm', (name, nanometres) => {
    const given = { focalLength: 0.5, lines: 320e3, darkLine: 0 };
    given.darkLine = 0.5 * Math.tan(Math.asin(nanometres * 1e-9 * given.lines));
    const asked = question('5.8');
    expect(asked.kind === 'word' && asked.accepts(given)).toEqual([name]);
    expect(model(['5.8'], 'element', given)).toBe(name);
  });

  test('the table of sunlight (ASTM G173-03) is darker at each of them than 4 nm to either side', () => {
    const { wavelengths, power } = sunlight().continuum!;
    const at = linearInterpolant(wavelengths, power);
    for (const nanometres of [486, 517, 589, 656, 687]) {
      const sides = (at((nanometres - 4) / 1e9) + at((nanometres + 4) / 1e9)) / 2;
      expect(at(nanometres / 1e9) / sides).toBeLessThan(0.93);
    }
  });
});
