import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import * as library from '../../../kernel-lib/index';
import { seeded } from '../../../kernel-lib/numerics/random';
import { pictureLines } from '../../../kernel-lib/page/picture/picture-lines';
import type { Marked, ScaleSetting } from '../../../kernel-lib/page/picture/picture-setting';
import { PictureWork, pixelsAlong } from '../../../kernel-lib/page/picture/picture-work';

// Photographs whose slits are known, made by NumPy, SciPy and Pillow: see tests/fitting/photographs/photograph.py.
const kept = fileURLToPath(new URL('../../fitting/photographs/kept/', import.meta.url));

interface Truth {
  readonly file: string;
  readonly count: number;
  readonly width: number;
  readonly spacing: number;
  readonly wavelength: number;
  readonly distance: number;
  readonly clicks: readonly {
    readonly pixel: [number, number];
    readonly place: [number, number];
  }[];
  readonly middle: readonly [number, number];
  readonly direction: number;
}

const truths: Truth[] = JSON.parse(readFileSync(join(kept, 'truth.json'), 'utf8'));
const truthOf = (file: string) => truths.find((one) => one.file === file)!;
const bytesOf = (file: string) => new Uint8Array(readFileSync(join(kept, file)));

/** The scale by the marks that the maker of the photograph clicked on. */
function scaleBy({ clicks }: Truth): ScaleSetting {
  const marks = clicks.map(({ pixel: [x, y] }) => ({ x, y }));
  const [first, second, third] = clicks.map(({ place }) => place);
  const length = second[0] - first[0];
  return clicks.length === 2
    ? { by: 'ruler', marks, length }
    : { by: 'paper', marks, length, height: third[1] - second[1] };
}

function workOn(truth: Truth): PictureWork {
  const work = new PictureWork(truth.file, bytesOf(truth.file));
  work.change({
    scale: scaleBy(truth),
    wavelength: { value: truth.wavelength, u: 0 },
    distance: { value: truth.distance, u: 0 },
  });
  return work;
}

/**
 * Where a person sees the pattern's places of these orders and clicks, missing by a pixel: from the maker's middle,
 * direction and marks alone, sin θ = m λ / L.
 */
function clicksOn(truth: Truth, length: number, orders: readonly number[]): Marked[] {
  const random = seeded(7);
  const [a, b] = truth.clicks;
  const perMetre =
    Math.hypot(b.pixel[0] - a.pixel[0], b.pixel[1] - a.pixel[1]) / (b.place[0] - a.place[0]);
  return orders.map((order) => {
    const place = truth.distance * Math.tan(Math.asin((order * truth.wavelength) / length));
    const along = place * perMetre;
    return {
      x: truth.middle[0] + along * Math.cos(truth.direction) + random.normal(),
      y: truth.middle[1] + along * Math.sin(truth.direction) + random.normal(),
    };
  });
}

describe.each([
  '003-careful.jpg',
  '004-phone.jpg',
  '009-careful.jpg',
  '019-phone.jpg',
  '024-careful.jpg',
  '025-phone.jpg',
])('bright places of %s, clicked by hand', (file) => {
  const truth = truthOf(file);
  const work = workOn(truth);
  const orders = [-2, -1, 0, 1, 2];
  for (const at of clicksOn(truth, truth.spacing, orders)) work.mark(at);
  const { byHand, orders: counted } = work.outcome.value;

  test('their orders are counted, from the middle on', () => {
    const direct = counted[0] > counted[4] ? -1 : 1;
    expect(counted.map((order) => direct * order)).toEqual(orders);
  });

  test('the line through them gives the spacing within 3 %, and the uncertainty covers it', () => {
    const { value, u } = byHand!.length;
    expect(Math.abs(value / truth.spacing - 1)).toBeLessThan(0.03);
    // The perspective along the pattern is not undone by marks at one scale: 2u, and 1 % for the clicks' own place.
    expect(Math.abs(value - truth.spacing)).toBeLessThan(2 * u + 0.01 * truth.spacing);
  });
});

test('dark places of one slit give its width', () => {
  const truth = truthOf('018-careful.jpg');
  const work = workOn(truth);
  work.change({ kind: 'minima' });
  for (const at of clicksOn(truth, truth.width, [-1, 1, 2, -2])) work.mark(at);
  const { byHand, orders } = work.outcome.value;
  expect(orders.map(Math.abs)).toEqual([1, 1, 2, 2]);
  expect(orders[0]).toBe(-orders[1]);
  expect(Math.abs(byHand!.length.value / truth.width - 1)).toBeLessThan(0.03);
});

test('the band that is found goes through the pattern, and a student may drag it elsewhere', () => {
  const truth = truthOf('004-phone.jpg');
  const work = workOn(truth);
  expect(work.wasFound).toBe(true);
  const { band } = work.setting.value;
  work.moveEnd('from', { x: -50, y: 1e4 });
  expect(work.setting.value.band.from).toEqual({ x: 0, y: work.height - 1 });
  expect(work.setting.value.band.to).toEqual(band.to);
  // Never so short that nothing could be read.
  const before = work.setting.value.band;
  work.moveEnd('to', before.from);
  expect(work.setting.value.band).toEqual(before);
  work.find();
  expect(work.setting.value.band).toEqual(band);
});

test('while it is dragged the profile comes from a smaller picture: the same curve, and its full one when it is let go', () => {
  const truth = truthOf('024-careful.jpg');
  const work = workOn(truth);
  const full = work.outcome.value.profile!;
  work.change({}, true);
  const { profile: quick, isQuick } = work.outcome.value;
  expect(isQuick).toBe(true);
  expect(quick!.x.length).toBeLessThan(full.x.length);
  const top = Math.max(...full.y);
  // The brightest places of orders 0, ±1: from the maker's slits.
  const apart = truth.distance * Math.tan(Math.asin(truth.wavelength / truth.spacing));
  const peak = ({ x, y }: { x: Float64Array; y: Float64Array }, near: number) => {
    let best = -1;
    for (let i = 0; i < x.length; i++)
      if (Math.abs(x[i] - near) < apart / 3 && (best < 0 || y[i] > y[best])) best = i;
    return { place: x[best], height: y[best] };
  };
  const middle = full.x[full.y.indexOf(top)];
  for (const order of [-1, 0, 1]) {
    const [a, b] = [peak(full, middle + order * apart), peak(quick!, middle + order * apart)];
    expect(Math.abs(a.place - b.place)).toBeLessThan(apart / 12);
    expect(Math.abs(a.height - b.height)).toBeLessThan(0.2 * top);
  }
  work.settle();
  expect(work.outcome.value.profile!.x).toEqual(full.x);
});

test('a part that is left out is not in the profile', () => {
  const work = workOn(truthOf('009-careful.jpg'));
  const before = work.outcome.value.profile!.x.length;
  const { from, to } = work.setting.value.band;
  const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 };
  // A whole piece of the band, 40 pixels long.
  work.addMask({ x: middle.x + 20, y: middle.y + 300 }, { x: middle.x - 20, y: middle.y - 300 });
  const after = work.outcome.value.profile!.x.length;
  expect(before - after).toBeGreaterThan(36);
  expect(before - after).toBeLessThan(44);
  work.removeMask(0);
  expect(work.outcome.value.profile!.x.length).toBe(before);
});

test('what is missing is said: marks, scale, wavelength, distance', () => {
  const work = new PictureWork('009-careful.jpg', bytesOf('009-careful.jpg'));
  expect(work.outcome.value.byHandFault).toBe('');
  work.mark({ x: 500, y: 300 });
  expect(work.outcome.value.byHandFault).toBe(
    'Still needed: two more bright places, the scale, the wavelength, the distance to the screen.',
  );
});

test('a picture without a row of spots gets a band across it, and says so', () => {
  const data = new Uint8Array(200 * 100).map((_, i) => 100 + (i % 7));
  const bytes = library.encodePicture({ width: 200, height: 100, channels: 1, data });
  const work = new PictureWork('grey.png', bytes);
  expect(work.wasFound).toBe(false);
  expect(work.outcome.value.profile!.x.length).toBeGreaterThan(100);
});

/** Run lines as a cell does, with the library and this file beside it. */
function ran(lines: string, bytes: Uint8Array) {
  const imported = /import \{ (.*) \} from 'multislit';/.exec(lines)!;
  const names = imported[1].split(', ');
  const printed: string[] = [];
  const body = `${lines.replace(imported[0], '')}\nreturn { own, by: typeof maxima === 'undefined' ? minima : maxima };`;
  const all = library as unknown as Record<string, unknown>;
  const given = names.map((name) => (name === 'show' ? () => {} : all[name]));
  for (const value of given) expect(value).toBeDefined();
  library.setFilesBeside(() => bytes);
  try {
    const run = new Function('console', ...names, body);
    const found = run({ log: (...words: unknown[]) => printed.push(words.join(' ')) }, ...given);
    return { ...found, printed } as {
      own: { x: Float64Array; y: Float64Array };
      by: { length: { value: number; u: number } };
      printed: string[];
    };
  } finally {
    library.setFilesBeside(undefined);
  }
}

describe.each(['003-careful.jpg', '004-phone.jpg'])('the lines of code for %s', (file) => {
  const truth = truthOf(file);
  const work = workOn(truth);
  work.addMask({ x: 10, y: 20 }, { x: 30, y: 60.5 });
  work.change({ wavelength: { value: truth.wavelength, u: 1e-9 } });
  for (const at of clicksOn(truth, truth.spacing, [-1, 0, 1, 2])) work.mark(at);
  const { outcome } = work;
  const lines = pictureLines(work.setting.value, outcome.value, { fit: false });

  test('give the very profile and the very number that the page shows', () => {
    const { own, by, printed } = ran(lines, bytesOf(file));
    const { profile, byHand } = outcome.value;
    expect(own.x.length).toBe(profile!.x.length);
    for (let i = 0; i < own.x.length; i += 10) {
      expect(own.x[i]).toBeCloseTo(profile!.x[i], 12);
      expect(own.y[i]).toBeCloseTo(profile!.y[i], 12);
    }
    expect(by.length.value / byHand!.length.value).toBeCloseTo(1, 12);
    expect(by.length.u / byHand!.length.u).toBeCloseTo(1, 9);
    expect(printed).toEqual([`spacing by hand: ${byHand!.length.in('um')}`]);
  });
});

test('a place of the profile is found again on the picture, perspective or not', () => {
  for (const file of ['003-careful.jpg', '004-phone.jpg']) {
    const work = workOn(truthOf(file));
    const { band } = work.setting.value;
    const { profile, scale } = work.outcome.value;
    for (const t of [20, 200, 400])
      expect(Math.abs(pixelsAlong(band, scale, profile!.x[t]) - t)).toBeLessThan(0.51);
  }
});
