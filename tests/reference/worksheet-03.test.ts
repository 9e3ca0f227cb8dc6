import { describe, expect, test } from 'vitest';
import observerTable from '../../data/cie_1931_2deg_1nm.csv';
import lampTable from '../../data/cie_a.csv';
import { filmStrip, illuminant, missingOrders, slits } from '../../kernel-lib/index';
import key from '../../worksheets/03-two-slits/key';
import { runModel } from '../worksheets/run-model';
import { textOf } from '../worksheets/text-of';
import { expectedOf } from './expected-of';
import { addedUp, bisected, lowest, row } from './plain-ways';

// UP3 = OpenStax University Physics Volume 3, CP2 = OpenStax College Physics 2e: numbers only.
const { question, expected } = expectedOf(key);
const axes = { x: { quantity: 'x', unit: 'mm' }, y: { quantity: 'brightness', unit: 'counts' } };
const model = (ids: string[], name: string, given: object) =>
  runModel(key.model, ids, name, { given, directions: [-0.01, 0, 0.01], axes });

test('3.1: UP3 Ex 3.1, CP2 Ex 27.1: 0.0100 mm apart, third order, 633 nm at 10.95°', () => {
  const given = { spacing: 1e-5, wavelength: 633e-9, order: 3 };
  expect(model(['3.1'], 'orderAngle', given)).toBeCloseTo(10.95, 2);
  expect((expected('3.1', given) * 180) / Math.PI).toBeCloseTo(10.95, 2);
});

test('3.2: with the bar as wide as a slit, three fringes: orders −1, 0, +1, since ±2 lie on the dark lines (common practice, no source)', () => {
  const given = { width: 40e-6, spacing: 79.9e-6 };
  expect(expected('3.2', given)).toBe(3);
  expect(model(['3.2'], 'fringeCount', given)).toBe(3);
});

describe('3.3, intensity', () => {
  const given = { width: 2e-6, spacing: 6e-6, wavelength: 550e-9 };
  const intensity = model(['3.3'], 'intensity', given);
  const asked = question('3.3');
  const own = (s: number) => asked.kind === 'function' && asked.expected(given, s);

  test('is 1 in the centre, 0 where the slits differ by half a wavelength, 0 at the missing third order', () => {
    expect(intensity(0)).toBe(1);
    for (const f of [intensity, own]) {
      expect(f((0.5 * 550e-9) / 6e-6)).toBeCloseTo(0, 12);
      expect(f((3 * 550e-9) / 6e-6)).toBeCloseTo(0, 12);
    }
  });

  test('on a fringe it has the height of one slit: 0.044 in the direction of UP3 Ex 4.2', () => {
    const s = Math.sin((((15.96 + 33.37) / 2) * Math.PI) / 180);
    const onThird = { ...given, spacing: (3 * 550e-9) / s };
    expect(model(['3.3'], 'intensity', onThird)(s)).toBeCloseTo(0.044, 3);
    expect(asked.kind === 'function' && asked.expected(onThird, s)).toBeCloseTo(0.044, 3);
  });
});

describe('3.4, missing orders', () => {
  test('a bar as wide as a slit removes the second order (common practice, no source)', () => {
    expect(expected('3.4', { width: 40e-6, missing: 2 })).toBeCloseTo(40e-6, 15);
  });

  test.each([3, 4, 5])('the bar asked for removes order %i first', (missing) => {
    const given = { width: 40e-6, missing };
    const bar = model(['3.4'], 'darkBar', given) * 1e-6;
    expect(expected('3.4', given)).toBeCloseTo(bar, 15);
    const pair = slits(2, { width: 40e-6, spacing: bar + 40e-6 });
    const positive = missingOrders(pair, 550e-9).filter((order) => order > 0);
    expect(positive[0]).toBe(missing);
  });
});

describe('3.5, width of the centre', () => {
  const far = { wavelength: 500e-9, focalLength: 0.4 };

  test('very narrow slits: cos² falls to one half at a quarter of a wavelength, so fλ/2d in full', () => {
    const given = { ...far, spacing: 100e-6, width: 0.1e-6 };
    expect(expected('3.5', given) * 1e3).toBeCloseTo(1, 4);
    expect(model(['3.3', '3.5'], 'fringeWidth', given)).toBeCloseTo(1, 4);
  });

  test('slits that touch are one slit of twice the width: 0.885893 fλ/2a', () => {
    const given = { ...far, spacing: 50e-6, width: 50e-6 };
    const full = (0.885893 * 0.4 * 500e-9) / 100e-6;
    expect(expected('3.5', given) / full).toBeCloseTo(1, 4);
    expect(model(['3.3', '3.5'], 'fringeWidth', given) / 1e3 / full).toBeCloseTo(1, 4);
  });
});

test('3.6: |sin v / v| is one half at v = 0.60335 π, as for the visibility with a slit source', () => {
  const given = { wavelength: 550e-9, passband: 55e-9 };
  expect(model(['3.6'], 'lastOrder', given)).toBeCloseTo(6.0335, 4);
  expect(expected('3.6', given)).toBeCloseTo(6.0335, 4);
});

test('3.7: spacing and width come back from a profile with known ones, within 0.5 %', () => {
  const [focalLength, wavelength] = [0.4, 550e-9];
  const [spacing, width, centre, noise] = [110e-6, 40e-6, 0.0002, 25];
  const reach = (1.3 * focalLength * wavelength) / width;
  const positions = Array.from({ length: 241 }, (_, i) => reach * (i / 120 - 1));
  const counts = positions.map((x, i) => {
    const s = Math.sin(Math.atan((x - centre) / focalLength));
    const beta = (Math.PI * width * s) / wavelength;
    const fringes = Math.cos((Math.PI * spacing * s) / wavelength) ** 2;
    // Alternating errors of one standard uncertainty, so that nothing is left to chance.
    return 120 + 3000 * fringes * (Math.sin(beta) / beta) ** 2 + (i % 2 === 0 ? noise : -noise);
  });
  const given = { focalLength, wavelength, profile: { positions, counts, noise } };
  for (const [d, a] of [
    expected('3.7', given).map((each: number) => each * 1e6),
    model(['3.7'], 'unlabelledPair', given) as number[],
  ]) {
    expect(Math.abs(d / 110 - 1)).toBeLessThan(0.005);
    expect(Math.abs(a / 40 - 1)).toBeLessThan(0.005);
  }
});

const ratios = [2.2, 2.25, 2.3, 2.7, 2.75, 2.8, 3.2, 3.25, 3.3, 3.7, 3.75, 3.8];

describe('3.4: several bars remove an order first; the widest is asked for', () => {
  /** The first order whose direction is dark for one slit: n a/d whole, with a = 60 and d in sixtieths. */
  const firstMissing = (spacing: number) => {
    for (let n = 1; n <= 600; n++) if ((n * 60) % spacing === 0) return n;
    throw new RangeError(`no order is missing at ${spacing}`);
  };

  test.each([3, 4, 5])(
    'order %i: of all spacings by sixtieths of the width the widest',
    (missing) => {
      const doIt = Array.from({ length: 540 }, (_, i) => 61 + i).filter(
        (d) => firstMissing(d) === missing,
      );
      expect(doIt.length).toBeGreaterThan(1);
      const given = { width: 60e-6, missing };
      expect(expected('3.4', given)).toBeCloseTo((Math.max(...doIt) - 60) * 1e-6, 12);
      expect(model(['3.4'], 'darkBar', given)).toBeCloseTo(Math.max(...doIt) - 60, 9);
      // The narrower ones are known, and told apart from bars that do not remove this order first.
      const { slips } = question('3.4') as unknown as {
        slips: { name: string; value(given: object): number; hint: string }[];
      };
      for (const narrower of doIt.filter((d) => d !== Math.max(...doIt))) {
        const slip = slips.find(
          ({ value }) => Math.abs(value(given) - (narrower - 60) * 1e-6) < 1e-9,
        );
        expect(slip?.hint, `${narrower}`).toMatch(/does remove .*wider/);
      }
      expect(textOf(key.sheet.name, '3-4-text')).toMatch(/\*\*widest\*\*/);
    },
  );
});

describe('3.7: what can be read from the curve', () => {
  test.each(ratios)(
    'd/a = %f: dark to dark beside the centre is λ/d, bright to bright is less by 2 to 8 percent',
    (ratio) => {
      const light = addedUp(row(2, ratio * 1e-4), 1e-4, 550e-9, 60);
      const unit = 550e-9 / (ratio * 1e-4);
      const dark = lowest((s) => light(s), 0.3 * unit, 0.7 * unit);
      expect((2 * dark) / unit).toBeCloseTo(1, 4);
      const bright = lowest((s) => -light(s), 0.7 * unit, 1.3 * unit);
      expect(bright / unit).toBeLessThan(0.98);
      expect(bright / unit).toBeGreaterThan(0.92);
      // 3.5: what the instructor's page says of fλ/2d.
      const half = bisected((s) => light(s) - 0.5, 0, dark);
      expect(unit / 2 / (2 * half) - 1).toBeGreaterThan(0.008);
      expect(unit / 2 / (2 * half) - 1).toBeLessThan(0.0275);
    },
  );

  test('text and hints say dark to dark', () => {
    const text = textOf(key.sheet.name, '3-7-text');
    expect(text).toMatch(/dark line.*\$f\\lambda\/d\$/);
    expect(text).not.toMatch(/bright fringe to bright fringe/);
    const { slips } = question('3.7') as unknown as { slips: { hint: string }[] };
    expect(slips.map(({ hint }) => hint).join(' ')).not.toMatch(/is from bright to bright/);
  });
});

describe('Look and 3.8 (a): fringes in white light, by a sum over wavelengths and on the strip', () => {
  const read = (table: string) =>
    table
      .split('\n')
      .map((line) => line.split(',').map(Number))
      .filter((line) => line.length > 1 && line.every(Number.isFinite));
  const lamp = new Map(read(lampTable).map(([nm, power]) => [nm, power]));
  const rows = read(observerTable).filter(([nm]) => nm % 5 === 0 && lamp.has(nm));
  /** Chromaticity and brightness where the path difference is v times 550 nm. */
  const seen = (v: number, ratio: number) => {
    const sum = [0, 0, 0];
    let white = 0;
    for (const [nm, ...bars] of rows) {
      const q = (v * 550) / nm;
      const b = (Math.PI * q) / ratio;
      const light = Math.cos(Math.PI * q) ** 2 * (b === 0 ? 1 : (Math.sin(b) / b) ** 2);
      bars.forEach((bar, i) => {
        sum[i] += bar * (lamp.get(nm) ?? 0) * light;
      });
      white += bars[1] * (lamp.get(nm) ?? 0);
    }
    const all = sum[0] + sum[1] + sum[2];
    return { x: sum[0] / all, y: sum[1] / all, bright: sum[1] / white };
  };

  test.each(ratios)(
    'd/a = %f: white in the centre only; next to it blue inside and red outside; at most three lines',
    (ratio) => {
      // Illuminant A itself: x = 0.4476, y = 0.4074 (CIE 015, from memory).
      expect(seen(0, ratio).x).toBeCloseTo(0.4476, 3);
      expect(seen(0, ratio).y).toBeCloseTo(0.4074, 3);
      expect(seen(0.75, ratio).x).toBeLessThan(0.38);
      expect(seen(1.25, ratio).x).toBeGreaterThan(0.55);
      // What would be a black line is purple.
      expect(seen(0.52, ratio).y).toBeLessThan(0.2);
      const curve = Array.from({ length: 420 }, (_, i) => seen(i / 100, ratio).bright);
      const turns = (sign: number) =>
        curve.flatMap((each, i) => {
          const isOne =
            i > 0 &&
            i < 419 &&
            sign * (each - curve[i - 1]) > 0 &&
            sign * (each - curve[i + 1]) >= 0;
          return isOne ? [i] : [];
        });
      const lines = turns(1).filter((i) => {
        const before =
          turns(-1)
            .filter((each) => each < i)
            .at(-1) ?? 0;
        return i < 100 * ratio && (curve[i] - curve[before]) / (curve[i] + curve[before]) > 0.1;
      });
      expect(lines.length).toBeGreaterThanOrEqual(2);
      expect(lines.length).toBeLessThanOrEqual(3);

      const [width, focalLength] = [40e-6, 0.4];
      const span = (4 * 550e-9 * focalLength) / width;
      const pair = slits(2, { width, spacing: ratio * width });
      const strip = filmStrip(pair, illuminant('A'), {
        focalLength,
        span,
        exposure: 6,
        points: 2001,
      });
      const colourAt = (v: number) => {
        const place = (v * 550e-9 * focalLength) / (ratio * width);
        const i = Math.round(1000 + (place / span) * 2000);
        return [...strip.srgb.subarray(3 * i, 3 * i + 3)];
      };
      const [r, g, b] = colourAt(0);
      expect(Math.max(r, g, b) - Math.min(r, g, b)).toBeLessThan(6);
      for (const side of [-1, 1]) {
        const [inner, outer] = [colourAt(side * 0.75), colourAt(side * 1.25)];
        expect(inner[2]).toBeGreaterThan(inner[0] + 60);
        expect(outer[0]).toBeGreaterThan(outer[2] + 60);
      }
    },
  );

  test('so say Look, question, model answer and mark scheme', () => {
    const scheme = key.schemes['3.8'].map(({ point }) => point).join(' ');
    for (const text of [
      textOf(key.sheet.name, 'look'),
      textOf(key.sheet.name, '3-8-text'),
      key.model['3-8-written'],
      scheme,
    ])
      expect(text).not.toMatch(/black and white|daylight/);
    expect(textOf(key.sheet.name, '3-8-text')).toMatch(/only the fringe in the centre is white/);
    expect(key.model['3-8-written']).toMatch(/two or three orders/);
  });
});
