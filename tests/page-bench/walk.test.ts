import { deflateSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { benchPattern } from '../../kernel-lib/figures/bench/compute';
import { startSetting } from '../../kernel-lib/figures/bench/setting';
import { BenchModel } from '../../kernel-lib/page/bench/bench-model';
import {
  packSteps,
  readSteps,
  type Step,
  steps,
  unpackSteps,
  writeSteps,
} from '../../kernel-lib/page/bench/step-list';
import { readWalk, Walk, type WalkPlace, walkPart } from '../../kernel-lib/page/bench/walk';
import {
  gather,
  PARTS,
  packPainted,
  readAsking,
  unpackPainted,
} from '../../kernel-lib/travels/room-talk';

const at = (title: string) => steps.findIndex((step) => step.title === title);
const step = (title: string) => steps[at(title)];

function begun() {
  const model = new BenchModel(startSetting, (draw) => draw());
  return { model, walk: new Walk(model) };
}

describe('the way through the steps', () => {
  test('asks, shows, explains, and goes on; back the same way', () => {
    const { walk, model } = begun();
    const seen: string[] = [];
    const note = () => seen.push(walkPart(walk.place.value));
    for (let i = 0; i < 5; i++) {
      walk.next();
      note();
    }
    walk.back();
    walk.back();
    note();
    expect(seen).toEqual([
      ...['step=1.ask', 'step=1.seen', 'step=1.why', 'step=2.ask', 'step=2.seen'],
      'step=1.why',
    ]);
    expect(model.setting.value.filter).toBe(false);
    for (let i = 0; i < 50; i++) walk.next();
    expect(walkPart(walk.place.value)).toBe(`step=${steps.length}.why`);
    for (let i = 0; i < 50; i++) walk.back();
    expect(walkPart(walk.place.value)).toBe('step=1.ask');
  });

  test('minds the lenses and the film of the room, and learns nothing from the steps’ own', () => {
    const { walk, model } = begun();
    model.change({ focalLength: 1, collimatorFocalLength: 0.5 });
    walk.next();
    const { span, focalLength, collimatorFocalLength } = model.setting.value;
    expect([focalLength, collimatorFocalLength]).toEqual([1, 0.5]);
    // The same angles as with 300 mm lie on the film.
    expect(span / focalLength).toBeCloseTo(startSetting.span / startSetting.focalLength, 3);
    // What a step compares stays its own.
    walk.go({ step: at('A source slit that is too wide'), phase: 'ask' });
    expect(model.setting.value.collimatorFocalLength).toBe(0.3);
    walk.go({ step: at('Three slits'), phase: 'ask' });
    expect(model.setting.value.collimatorFocalLength).toBe(0.5);
    model.show(startSetting);
    walk.go({ step: at('Three slits'), phase: 'ask' });
    expect(model.setting.value.focalLength).toBe(0.3);
    walk.go({ step: at('Sixteen slits, badly ruled'), phase: 'ask' });
    expect(model.setting.value.span).toBe(30e-3);
    model.change({ slits: 12 });
    walk.go({ step: at('Three slits'), phase: 'ask' });
    expect(model.setting.value.span).toBe(16e-3);
  });

  test('a reload comes back to the step, in the same room', () => {
    const { walk, model } = begun();
    model.change({ focalLength: 0.6 });
    walk.go({ step: at('Three slits'), phase: 'seen' });
    const { place, rest } = readWalk(`#light=laser&slits=3&${walkPart(walk.place.value)}`);
    expect({ place, rest }).toEqual({
      place: { step: at('Three slits'), phase: 'seen' },
      rest: 'light=laser&slits=3',
    });
    const again = new BenchModel(model.setting.value, (draw) => draw());
    const after = new Walk(again, place);
    after.go({ step: at('Sixteen slits, badly ruled'), phase: 'ask' });
    expect(again.setting.value.focalLength).toBe(0.6);
    expect(again.setting.value.span).toBeCloseTo(60e-3, 4);
  });

  test.each(['step=0.ask', 'step=99.ask', 'step=3.other', 'step=', 'slits=3'])(
    'no step is read from %j',
    (address) => expect(readWalk(address).place).toBeUndefined(),
  );

  test('light is painted where the brush is, never more than full, and gone at the next step', () => {
    const { walk } = begun();
    walk.next();
    const { length } = walk.expected.value;
    for (let i = 0; i < 9; i++) walk.paint(0.25);
    const painted = walk.expected.value;
    expect(Math.max(...painted)).toBe(1);
    expect(painted[Math.round(0.25 * length)]).toBe(1);
    expect(painted[Math.round(0.75 * length)]).toBe(0);
    walk.next();
    expect(walk.expected.value).toBe(painted);
    walk.go({ step: 1, phase: 'ask' });
    expect(Math.max(...walk.expected.value)).toBe(0);
  });
});

describe('what is expected', () => {
  const green = at('The same pair behind a green filter');

  test('while the film is covered nothing is shown by which it could be computed', () => {
    const { walk } = begun();
    walk.go({ step: green, phase: 'ask' });
    const covered = walk.shown('slits=2&filter=true', 1e-3, false);
    expect(covered).not.toHaveProperty('bench');
    expect(JSON.stringify(covered)).not.toMatch(/filter=|slits=/);
    expect(covered.place).toBe(0);
    walk.next();
    expect(walk.shown('slits=2&filter=true', 1e-3, false)).toMatchObject({
      ...{ step: covered.step, bench: 'slits=2&filter=true', place: 1e-3 },
    });
  });

  test('hands that were counted and answers of a room come together, words in their order', () => {
    const { walk } = begun();
    walk.go({ step: green, phase: 'ask' });
    const { asks } = step('The same pair behind a green filter');
    walk.say('more', asks, 3);
    walk.say('fewer', asks);
    walk.say('fewer', asks, -1);
    expect(walk.said.value).toEqual([['more', 3]]);
    const said = gather(['fewer', 'more', 'fewer'], asks);
    walk.gathered(said, asks, walk.said.value);
    expect(walk.said.value).toEqual([
      ['fewer', 2],
      ['more', 4],
    ]);
    walk.next();
    expect(walk.said.value).toHaveLength(2);
    walk.go({ step: 0, phase: 'ask' });
    expect(walk.said.value).toHaveLength(0);
  });

  test('films on top of each other are as bright as full where most expect light', () => {
    const film = (...bright: number[]) =>
      packPainted(Array.from({ length: PARTS }, (_, i) => (bright.includes(i) ? 1 : 0)));
    const { painted, people } = gather([film(10, 20), film(10), film(30)], { kind: 'paint' });
    expect(people).toBe(3);
    const value = unpackPainted(painted);
    expect(value[10]).toBe(1);
    // One of two that agree elsewhere, in steps of a fifteenth.
    expect(Math.abs(value[20] - 0.5)).toBeLessThanOrEqual(1 / 15);
    expect(value[30]).toBe(value[20]);
    expect(value.reduce((sum, one) => sum + one, 0)).toBeCloseTo(1 + value[20] + value[30], 9);
    expect(gather([film(), film()], { kind: 'paint' }).painted).toBe('');
  });

  test('each step of the bench asks for something that can be sent', () => {
    for (const { asks, title } of steps) expect([title, readAsking(asks)]).toEqual([title, asks]);
    expect(new Set(steps.map(({ asks }) => asks.kind))).toEqual(
      new Set(['paint', 'word', 'number']),
    );
  });
});

describe('steps of a lecturer’s own', () => {
  const hall = { focalLength: 1.2, collimatorFocalLength: 0.4, span: 45e-3 };
  const own: Step = {
    ...{ title: 'In the long room', ask: 'How many?', look: 'Count.', why: '13 = N − 2' },
    asks: { kind: 'number', counts: '′' },
    at: 0.002,
    setting: { ...startSetting, ...hall, light: 'sodium', reading: 589.6e-9, slits: 15 },
    isWhole: true,
  };

  test('keep light, slits, lenses and film of the hall in a file and in a link', () => {
    for (const [again] of [readSteps(writeSteps([own])), unpackSteps(packSteps([own]))]) {
      const { setting, ...rest } = again;
      expect(rest).toEqual({ ...own, setting: undefined, ...rest });
      expect(setting).toMatchObject({ light: 'sodium', slits: 15 });
      for (const [name, value] of Object.entries(hall))
        expect(setting[name as keyof typeof hall]).toBeCloseTo(value, 9);
    }
    const { walk, model } = begun();
    model.change({ focalLength: 0.5 });
    walk.take(readSteps(writeSteps([own, own])));
    walk.next();
    expect(model.setting.value.focalLength).toBeCloseTo(1.2, 9);
    expect(model.setting.value.span).toBeCloseTo(45e-3, 9);
    // The built-in ones mind what was set before.
    walk.take(steps);
    walk.next();
    expect(model.setting.value.focalLength).toBeCloseTo(0.5, 9);
  });

  test('a link of them leads to their place, and no address says more than its own', () => {
    const packed = packSteps(Array.from({ length: 20 }, () => own));
    expect(packed).toMatch(/^[\w-]+$/);
    const { place, packed: read, rest } = readWalk(`#slits=2&step=15.seen&steps=${packed}`);
    expect([place, read, rest]).toEqual([{ step: 14, phase: 'seen' }, packed, 'slits=2']);
    const model = new BenchModel(startSetting, (draw) => draw());
    expect(new Walk(model, place, unpackSteps(packed)).place.value).toEqual(place);
    // Where there are fewer steps, there is no such place.
    expect(new Walk(model, place).place.value).toBeUndefined();
  });

  const file = (change: object) =>
    JSON.stringify({ multislit: 'bench steps 1', steps: [{ ...own, setting: '', ...change }] });
  test.each([
    ['', 'cut off or damaged'],
    ['[]', 'no steps of a bench'],
    [JSON.stringify({ multislit: 'bench steps 1', steps: [] }), 'no step in it'],
    [file({ title: 'x'.repeat(81) }), 'Step 1: its title is no text of at most 80 letters'],
    [file({ asks: { kind: 'word', words: ['one'] } }), 'Step 1: what it asks for'],
    [file({ asks: undefined }), 'Step 1: what it asks for'],
    [file({ setting: 'slits=900' }), 'Step 1: Number of slits goes from 1 to 50'],
  ])('%# of what is none is told, and nothing taken', (text, words) => {
    expect(() => readSteps(text)).toThrow(words);
  });

  test('a link that is cut off, or swells to more than steps can be, is told', () => {
    const packed = packSteps([own]);
    for (const bad of [packed.slice(0, 60), '', '%%', packed.replace(/.{9}$/, '')])
      expect(() => unpackSteps(bad)).toThrow(/cut off or damaged/);
    const bomb = deflateSync(new Uint8Array(50_000_000).fill(32), { level: 9 });
    expect(() => unpackSteps(Buffer.from(bomb).toString('base64url'))).toThrow();
  });
});

// From the definitions alone: slits as so many thin lines, one phasor each, added up.
describe('what the steps say is so', () => {
  const lines = 200;
  function brightness(centres: readonly number[], width: number, wavelength: number, sine: number) {
    let [re, im] = [0, 0];
    for (const centre of centres) {
      for (let i = 0; i < lines; i++) {
        const place = centre + ((i + 0.5) / lines - 0.5) * width;
        const phase = (2 * Math.PI * place * sine) / wavelength;
        re += Math.cos(phase) / lines;
        im += Math.sin(phase) / lines;
      }
    }
    return re * re + im * im;
  }
  const row = (count: number, spacing = 100e-6) =>
    Array.from({ length: count }, (_, i) => i * spacing);
  const minutes = (angle: number) => (angle * 180 * 60) / Math.PI;
  const red = 632.8e-9;

  /** Difference of the brightest and the darkest near the middle, against their sum. */
  function contrast(title: string, within: number): number {
    const place: WalkPlace = { step: at(title), phase: 'seen' };
    const { model, walk } = begun();
    walk.go(place);
    const { places, values } = benchPattern(model.setting.value).brightness;
    const near = Array.from(values).filter((_, i) => Math.abs(places[i]) <= within);
    return (Math.max(...near) - Math.min(...near)) / (Math.max(...near) + Math.min(...near));
  }

  test('a source slit of 1 mm washes the bands out: 11′ of it against 12′ from band to band', () => {
    expect(step('A source slit that is too wide').why).toContain('is 11′');
    expect(minutes(1 / 300)).toBeCloseTo(11, 0);
    expect(minutes(546e-9 / 160e-6)).toBeCloseTo(12, 0);
    // One band is 1.02 mm of film; over it one slit's own light hardly changes.
    expect(contrast('The same pair behind a green filter', 0.6e-3)).toBeGreaterThan(0.9);
    expect(contrast('A source slit that is too wide', 0.6e-3)).toBeLessThan(0.1);
  });

  test('one slit is dark at 47′, half of it at twice the sine, with a quarter of the brightness', () => {
    const dark = 546e-9 / 40e-6;
    expect(step('One of the pair covered').why).toContain('at 47′');
    expect(minutes(Math.asin(dark))).toBeCloseTo(47, 0);
    expect(brightness([0], 40e-6, 546e-9, dark)).toBeLessThan(1e-6);
    expect(brightness([0], 20e-6, 546e-9, 2 * dark)).toBeLessThan(1e-6);
    // So many thin lines side by side: half of them bring a quarter of the brightness to the middle.
    const thin = (count: number) => brightness(row(count, 1e-9), 1e-9, 546e-9, 0);
    expect(thin(20) / thin(40)).toBeCloseTo(1 / 4, 9);
  });

  test('red bands lie a sixth farther apart than green ones', () => {
    expect(red / 546e-9 - 1).toBeCloseTo(1 / 6, 1);
  });

  test('half way between two orders three slits give a ninth', () => {
    const half = red / 100e-6 / 2;
    const one = brightness([0], 40e-6, red, half);
    expect(brightness(row(3), 40e-6, red, half) / (9 * one)).toBeCloseTo(1 / 9, 6);
  });

  test('five slits are 25 times as bright in the middle as one', () => {
    expect(brightness(row(5), 40e-6, red, 0)).toBeCloseTo(25, 9);
  });

  test('between two orders of eight slits lie seven dark places and six weak lines', () => {
    // Lines so thin that their own envelope is level; the ends are the orders themselves.
    const all = Array.from({ length: 2001 }, (_, i) =>
      brightness(row(8), 1e-9, red, ((i / 2000) * red) / 100e-6),
    );
    const inner = all.slice(1, -1);
    const lows = inner.filter((value, i) => value < all[i] && value < all[i + 2]).length;
    const highs = inner.filter((value, i) => value > all[i] && value > all[i + 2]).length;
    expect([lows, highs]).toEqual([7, 6]);
  });

  test('where sixteen slits are dark, fifteen of them give 1/225 of their own middle', () => {
    const dark = red / 100e-6 / 16;
    const fifteen = row(16).filter((_, i) => i !== 5);
    const one = brightness([0], 40e-6, red, dark);
    expect(brightness(row(16), 40e-6, red, dark)).toBeLessThan(1e-6);
    expect(brightness(fifteen, 40e-6, red, dark) / (225 * one)).toBeCloseTo(1 / 225, 6);
  });

  test('the third order of 450 nm falls on the second of 675 nm', () => {
    expect(3 * 450).toBe(2 * 675);
    expect(step('Sixteen slits in lamplight').why).toContain('3 × 450 nm falls on 2 × 675 nm');
  });
});
