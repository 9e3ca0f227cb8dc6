import { describe, expect, test } from 'vitest';
import lampLines from '../../data/lamp_lines.csv';
import { filmStrip, givensFor, judge, lamp, slits, vernierFigure } from '../../kernel-lib/index';
import type { Given } from '../../worksheets/06-reading-the-spectrometer/given';
import key from '../../worksheets/06-reading-the-spectrometer/key';
import { runModel } from '../worksheets/run-model';
import { textOf } from '../worksheets/text-of';
import { expectedOf } from './expected-of';

// UP3 = OpenStax University Physics Volume 3, CP2 = OpenStax College Physics 2e: numbers only.
const { question, expected, uncertainty } = expectedOf(key);
const axes = { x: { quantity: 'x', unit: 'nm' }, y: { quantity: 'sin θ', unit: '1' } };
// What a cell prints is of no interest here.
const quiet = { console: { log: () => {} }, writeAngle: () => '' };
const model = (ids: string[], name: string, given: object) =>
  runModel(key.model, ids, name, { given, axes, ...quiet });
const degree = Math.PI / 180;
const dms = (degrees: number, minutes: number) => (degrees + minutes / 60) * degree;

test.each([
  { nanometres: 380, printed: 22.33 },
  { nanometres: 760, printed: 49.46 },
])(
  '6.1: UP3 Ex 4.5: 10 000 lines per cm, $nanometres nm at $printed°',
  ({ nanometres, printed }) => {
    const given = { label: 1e-6 };
    const asked = question('6.1');
    const own = asked.kind === 'function' && asked.expected(given, 1, nanometres * 1e-9);
    for (const angle of [own, model(['6.1'], 'lineAngle', given)(1, nanometres * 1e-9)])
      expect(angle / degree).toBeCloseTo(printed, 2);
  },
);

test('6.2: a circle in half degrees, its line 213° 30′ before the zero, vernier line 17: 213° 47′', () => {
  const given = { vernier: dms(213, 47) };
  expect(expected('6.2', given) / degree).toBeCloseTo(213 + 47 / 60, 9);
  expect(model(['6.2'], 'reading', given)).toBeCloseTo(213 + 47 / 60, 9);
});

test('6.3: by hand: means 57° 46′ and 335° 19′, so 82° 27′ from side to side and θ = 41° 13.5′', () => {
  const green = {
    left: { first: dms(57, 43), second: dms(237, 49) },
    right: { first: dms(335, 20), second: dms(155, 18) },
  };
  expect(expected('6.3', { green }) / degree).toBeCloseTo(41.225, 9);
  expect(model(['6.3'], 'greenAngle', { green })).toBeCloseTo(41.225, 9);
});

/** A setting whose half difference is the angle, around a zero that makes the circle pass 0°. */
const setting = (order: number, degrees: number) => ({
  order,
  left: (10 + degrees) * degree,
  right: ((370 - degrees) % 360) * degree,
});
const angles = [15.267, 31.763, 19.255, 41.285, 20.4, 44.175, 20.475, 44.395];
const known = [435.8336, 546.075, 576.961, 579.067].flatMap((nanometres, i) =>
  [1, 2].map((order) => ({
    ...setting(order, angles[2 * i + order - 1]),
    wavelength: nanometres * 1e-9,
  })),
);
const directionUncertainty = (24 / 3600) * degree;
/** By scipy's curve_fit, worksheet-06.py. */
const byScipy = { d: 1655.5697, u: 0.07249 };

describe('6.4, spacing', () => {
  test('the weighted fit of eight angles gives what scipy gives', () => {
    const given = { label: 1e-3 / 600, known, directionUncertainty };
    expect(expected('6.4', given) * 1e9).toBeCloseTo(byScipy.d, 3);
    expect(uncertainty('6.4', given) * 1e9).toBeCloseTo(byScipy.u, 4);
    const spacing = model(['6.4'], 'spacing', given);
    expect(spacing.value).toBeCloseTo(byScipy.d, 3);
    expect(spacing.u).toBeCloseTo(byScipy.u, 4);
  });

  test('UP3 Ex 4.5: its two printed angles give 10 000 lines per cm back', () => {
    const two = [
      { ...setting(1, 22.33), wavelength: 380e-9 },
      { ...setting(1, 49.46), wavelength: 760e-9 },
    ];
    const given = { label: 0.9e-6, known: two, directionUncertainty };
    expect(expected('6.4', given) * 1e9).toBeCloseTo(1000, 0);
    expect(model(['6.4'], 'spacing', given).value).toBeCloseTo(1000, 0);
  });
});

describe('6.5, wavelengths', () => {
  // Cd 643.8470 nm and its neighbours in air: NIST ASD, as stored (data/SOURCES.md).
  const lines = [479.9912, 508.5822, 643.847];
  const theta = lines.map((nanometres) => Math.asin((2 * nanometres) / byScipy.d) / degree);
  const given = {
    label: 1e-3 / 600,
    known,
    directionUncertainty,
    unknown: theta.map((degrees) => setting(2, degrees)),
  };

  test('exact angles give the tabulated lines back', () => {
    const found = model(['6.4', '6.5'], 'wavelengths', given);
    lines.forEach((nanometres, i) => {
      expect(expected('6.5', given)[i] * 1e9).toBeCloseTo(nanometres, 3);
      expect(found[i].value).toBeCloseTo(nanometres, 3);
    });
  });

  test('their uncertainty adds up in squares (JCGM 100:2008, 5.1.2, from memory)', () => {
    const found = model(['6.4', '6.5'], 'wavelengths', given);
    theta.forEach((degrees, i) => {
      const t = degrees * degree;
      const byAngle = (byScipy.d * Math.cos(t) * directionUncertainty) / Math.SQRT2 / 2;
      const u = Math.hypot(byAngle, (Math.sin(t) * byScipy.u) / 2);
      expect(uncertainty('6.5', given)[i] * 1e9).toBeCloseTo(u, 4);
      expect(found[i].u).toBeCloseTo(u, 4);
      if (i < 2) return;
      expect(expected('6.7', given)).toBeCloseTo((byAngle / u) ** 2, 3);
      expect(model(['6.4', '6.5', '6.7'], 'angleShare', given)).toBeCloseTo(
        100 * (byAngle / u) ** 2,
        1,
      );
    });
  });

  test('6.6: these are cadmium’s, and 434.05, 486.14 and 656.28 nm hydrogen’s (from memory)', () => {
    const asked = question('6.6');
    const accepted = (more: object) =>
      asked.kind === 'word' ? asked.accepts({ ...given, ...more }) : [];
    expect(accepted({})).toContain('cadmium');
    expect(model(['6.4', '6.5', '6.6'], 'lampName', given)).toBe('cadmium');
    const balmer = [434.05, 486.14, 656.28].map((nanometres) =>
      setting(2, Math.asin((2 * nanometres) / byScipy.d) / degree),
    );
    expect(accepted({ unknown: balmer })).toContain('hydrogen');
    expect(model(['6.4', '6.5', '6.6'], 'lampName', { ...given, unknown: balmer })).toBe(
      'hydrogen',
    );
  });
});

test('6.8: sin θi = 0.2 and 2λ/d = 0.6 by a table of sines: 53.130° and −23.578°, half 38.354°, so 564.8 nm', () => {
  // d = 2 × 546.075 nm / 0.6 = 1820.25 nm; 1820.25 nm × 0.62054 / 2.
  const given = { label: 1820.25e-9, tilt: Math.asin(0.2) };
  expect(expected('6.8', given) * 1e9).toBeCloseTo(564.77, 1);
  expect(model(['6.8'], 'foundTilted', given)).toBeCloseTo(564.77, 1);
  expect(expected('6.8', { ...given, tilt: 0 }) * 1e9).toBeCloseTo(546.075, 6);
});

const drawn = (student: string) => givensFor(key.sheet, student) as Given;
/** The verdict of the marker on a measured value, or on a list of them. */
const verdict = (id: string, given: object, answer: unknown) =>
  judge(question(id), given, answer).state;

describe('6.4, 6.5: an uncertainty that forgets that two directions are averaged is not accepted', () => {
  test.each(['000000', '204117', '9999'])('student %s', (student) => {
    const given = drawn(student);
    const run = (directionUncertainty: number) => ({ ...given, directionUncertainty });
    const right = model(['6.4'], 'spacing', given);
    expect(verdict('6.4', given, right)).toBe('agrees');
    // u_θ = 24″ in the place of 24″/√2, and 12″, as if both directions were known exactly half.
    const whole = model(['6.4'], 'spacing', run(given.directionUncertainty * Math.SQRT2));
    expect(whole.u / right.u).toBeCloseTo(Math.SQRT2, 6);
    expect(verdict('6.4', given, whole)).toBe('not yet');
    const half = model(['6.4'], 'spacing', run(given.directionUncertainty / Math.SQRT2));
    expect(verdict('6.4', given, half)).toBe('not yet');
    expect(verdict('6.5', given, model(['6.4', '6.5'], 'wavelengths', given))).toBe('agrees');
    const wide = model(['6.4', '6.5'], 'wavelengths', run(given.directionUncertainty * Math.SQRT2));
    expect(verdict('6.5', given, wide)).toBe('not yet');
    expect(key.instructor).not.toMatch(/still agrees/);
  });
});

describe('Look: the lines of the lamps as a real grating shows them', () => {
  const setUp = textOf(key.sheet.name, 'given');
  const d = 1e-3 / 600;
  // NIST ASD, as stored (data/lamp_lines.csv): wavelength in air, nm, and strength.
  const table = lampLines
    .split('\n')
    .map((line) => line.split(','))
    .filter((cells) => cells.length > 4 && Number.isFinite(Number(cells[3])))
    .map(([lamp, , , nm, strength]) => ({ lamp, nm: Number(nm), strength: Number(strength) }));
  /** Light of all lines of a lamp at an angle behind N lines of the grating: squares of sums of arrows, by their closed form. */
  const light = (lamp: string, count: number) => (theta: number) =>
    table.reduce((sum, line) => {
      if (line.lamp !== lamp) return sum;
      const alpha = (Math.PI * d * Math.sin(theta)) / (line.nm * 1e-9);
      const below = count * Math.sin(alpha);
      const one = Math.abs(below) < 1e-12 ? 1 : Math.sin(count * alpha) / below;
      return sum + line.strength * one * one;
    }, 0);
  /** Mercury's 577 and 579 nm: how dark it is between them, of the darker of the two. */
  const between = (count: number, order: number) => {
    const at = (nm: number) => Math.asin((order * nm * 1e-9) / d);
    const all = light('mercury', count);
    const [one, other] = [all(at(576.961)), all(at(579.067))];
    let least = Infinity;
    for (let k = 1; k < 400; k++)
      least = Math.min(least, all(at(576.961) + (k / 400) * (at(579.067) - at(576.961))));
    return least / Math.min(one, other);
  };

  test('as many lines are lit as it takes: mercury’s yellow pair stands apart as with 12 000 of them; 120 merge it', () => {
    const [, strips] = setUp.match(/const grating = slits\((\d+),/)!.map(Number);
    const [, curve] = setUp.match(/slits\((12000),/)!.map(Number);
    expect(between(120, 1)).toBeGreaterThan(0.9);
    for (const count of [strips, curve, 12_000])
      for (const order of [1, 2]) expect(between(count, order), `${count} lines`).toBeLessThan(0.1);
  });

  test('the strips show so: mercury’s five lines between 14° and 25°, cadmium and hydrogen four, helium more', () => {
    const [, count] = setUp.match(/const grating = slits\((\d+),/)!.map(Number);
    const [, points] = setUp.match(/points: (\d+)/)!.map(Number);
    const [, exposure] = setUp.match(/exposure: (\d+)/)!.map(Number);
    expect(setUp).toMatch(/filmBlur: span \/ 3001/);
    const span = 0.4 * Math.tan(47 * degree);
    const grating = slits(count, { width: 0.3 * d, spacing: d });
    // Only as far as the first order, in the same steps: the rest would take most of the time.
    const step = span / points;
    const near = Math.round((0.4 * Math.tan(25.5 * degree)) / step);
    const film = { focalLength: 0.2, span: near * step, exposure, points: near, filmBlur: step };
    const seen = (name: 'mercury' | 'cadmium' | 'helium' | 'hydrogen') => {
      const strip = filmStrip(grating, lamp(name), film);
      const brightest = (i: number) => Math.max(...strip.srgb.subarray(3 * i, 3 * i + 3));
      const places = [...strip.positions].map((x) => Math.atan(x / 0.2) / degree);
      return places.filter(
        (angle, i) =>
          angle > 14 &&
          angle < 25 &&
          brightest(i) > 30 &&
          strip.xyz[3 * i + 1] > strip.xyz[3 * i - 2] &&
          strip.xyz[3 * i + 1] >= strip.xyz[3 * i + 4],
      );
    };
    const mercury = seen('mercury');
    // A maximum where the grating equation puts each line; a sixth, 407.8 nm, is fainter still.
    expect(mercury.length).toBeGreaterThan(4);
    for (const nm of [404.656, 435.834, 546.075, 576.961, 579.067]) {
      const place = Math.asin((nm * 1e-9) / d) / degree;
      expect(mercury.filter((angle) => Math.abs(angle - place) < 0.03)).toHaveLength(1);
    }
    expect(seen('cadmium')).toHaveLength(4);
    expect(seen('hydrogen')).toHaveLength(4);
    expect(seen('helium').length).toBeGreaterThan(4);
    expect(textOf(key.sheet.name, 'look')).toMatch(/Two lamps show only four lines/);
    expect(key.instructor).toMatch(/cadmium and hydrogen/);
  });
});

test('6.2: neither the figure’s words nor the text give the reading away', () => {
  for (const student of ['000000', '204117', '31415926']) {
    const { vernier } = drawn(student);
    const minutes = Math.round((vernier * 60) / degree);
    const { alt } = vernierFigure(vernier);
    expect(alt).not.toContain(`${Math.floor(minutes / 60)}° 30′`);
    expect(alt).not.toMatch(new RegExp(`\\b(${(minutes % 60) - 30}|${minutes % 60})\\b`));
  }
});

test('6.7, 6.9: shares, sizes and what air changes are told as they come out', () => {
  for (const student of ['000000', '0000', '1234', '9999', '204117', '900001', '31415926']) {
    const given = drawn(student);
    const share = expected('6.7', given);
    expect(share).toBeGreaterThan(0.5);
    for (const u of uncertainty('6.5', given)) {
      expect(u).toBeGreaterThan(0.045e-9);
      expect(u).toBeLessThan(0.07e-9);
    }
    // “by several nanometres”
    expect(expected('6.8', given) - 546.075e-9).toBeGreaterThan(2e-9);
  }
  // Edlén's formula of 1966 for standard air (coefficients from memory): n − 1 times the wavelength.
  const longer = (nm: number) => {
    const s = (1000 / nm) ** 2;
    return nm * 1e-8 * (8342.13 + 2_406_030 / (130 - s) + 15_997 / (38.9 - s));
  };
  expect(longer(434.05)).toBeCloseTo(0.12, 2);
  expect(longer(667.82)).toBeCloseTo(0.18, 2);
  const [text, answer] = [textOf(key.sheet.name, '6-9-text'), key.model['6-9-written']];
  const scheme = key.schemes['6.9'].map(({ point }) => point).join(' ');
  expect(text).toMatch(/frequency.*wavelength/s);
  for (const told of [answer, scheme]) expect(told).toMatch(/frequency/);
  expect(answer).toMatch(/1\.000\\,28/);
  // n of green by the same formula.
  expect(1 + longer(546.075) / 546.075).toBeCloseTo(1.00028, 5);
});
