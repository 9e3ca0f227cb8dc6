import { describe, expect, test } from 'vitest';
import { planDemonstration } from '../../kernel-lib/camera/plan-demonstration';
import {
  type Demonstration,
  type SightName,
  willItShow,
} from '../../kernel-lib/camera/will-it-show';

const pair: Demonstration = {
  ...{ slits: 2, width: 40e-6, spacing: 160e-6, from: 546e-9, to: 546e-9 },
  ...{ sourceWidth: 50e-6, sourceDistance: 0.3, distance: 3, by: 'lenses' },
  ...{ catcher: { kind: 'screen' }, enlarged: 1, seat: 12 },
};
const of = (name: SightName, change: Partial<Demonstration> = {}) => {
  const found = willItShow({ ...pair, ...change }).find((sight) => sight.name === name)!;
  const unmet = found.needs.filter(({ isMet }) => !isMet);
  return {
    ...found,
    unmet: unmet.map((need) => need.of),
    why: unmet.map(({ sentence }) => sentence),
  };
};

/** (max − min)/(max + min) of the fringes of narrow slits, added line by line of a source slit. */
function contrast(sourceWidth: number, slits: number): number {
  const LINES = 400;
  const at = (sine: number) => {
    let sum = 0;
    for (let i = 0; i < LINES; i++) {
      const from = (((i + 0.5) / LINES - 0.5) * sourceWidth) / 0.3;
      let [re, im] = [0, 0];
      for (let j = 0; j < slits; j++) {
        const phase = (2 * Math.PI * j * 160e-6 * (sine - from)) / 546e-9;
        re += Math.cos(phase);
        im += Math.sin(phase);
      }
      sum += re * re + im * im;
    }
    return sum;
  };
  const [bright, dark] = [at(0), at(546e-9 / 160e-6 / 2)];
  return (bright - dark) / (bright + dark);
}

describe('will it show', () => {
  test('a source slit is too wide where the fringes of all its lines together lose half of their contrast', () => {
    let [narrow, wide] = [1e-6, 900e-6];
    while (wide - narrow > 1e-9) {
      const middle = (narrow + wide) / 2;
      if (contrast(middle, 2) > 0.5) narrow = middle;
      else wide = middle;
    }
    expect(of('orders', { sourceWidth: 0.99 * narrow }).shows).toBe(true);
    const beyond = of('orders', { sourceWidth: 1.01 * narrow });
    expect(beyond.unmet).toEqual(['source slit']);
    expect(beyond.why[0]).toContain(`Narrow it to ${Math.round(narrow * 1e6)} µm`);
    // Beyond the first zero contrast comes back, turned over: that is no fringe to be counted.
    expect(of('orders', { sourceWidth: 1500e-6 }).unmet).toEqual(['source slit']);
    expect(of('orders', { sourceWidth: 2 * narrow }).why[0]).toContain(
      'with 50 % of the light left',
    );
  });

  test('by distance alone it is far enough where paths from edge and middle bend by an eighth of a wave', () => {
    // Both halves of the way, from a far source slit and to the screen, by Pythagoras.
    const bend = (distance: number) =>
      Math.hypot(distance, 100e-6) - distance + (Math.hypot(4, 100e-6) - 4);
    let [near, far] = [0.01, 3];
    while (far - near > 1e-6) {
      const middle = (near + far) / 2;
      if (bend(middle) > 546e-9 / 8) near = middle;
      else far = middle;
    }
    const apart = { by: 'distance', sourceDistance: 4, sourceWidth: 0, seat: 0.1 } as const;
    expect(of('orders', { ...apart, distance: 1.01 * far }).unmet).toEqual([]);
    expect(of('orders', { ...apart, distance: 0.99 * far }).unmet).toEqual(['near field']);
    expect(of('orders', { ...apart, distance: 0.99 * far, by: 'lenses' }).unmet).toEqual([]);
    // With a lens on one side only the other side's paths bend: W²/λ = (200 µm)²/546 nm = 73.3 mm, worked by hand.
    const lens = { ...apart, distance: 0.072, enlarged: 100 };
    expect(of('orders', { ...lens, by: 'camera lens' }).unmet).toEqual([]);
    expect(of('orders', { ...lens, by: 'collimator' }).unmet).toEqual(['near field']);
    const close = { ...lens, sourceDistance: 0.072, distance: 3, by: 'camera lens' } as const;
    expect(of('orders', close).unmet).toEqual(['near field']);
    expect(of('orders', close).why[0]).toContain(
      'still: 72 mm from the source slit, and it takes 73.3 mm',
    );
  });

  test('fringes finer than three pixels or film keeps are told, with the lens that would do', () => {
    // λ f/d: 546 nm · 100 mm / 160 µm = 0.341 mm, worked by hand.
    const small = { distance: 0.1, enlarged: 200 };
    expect(of('orders', { ...small, catcher: { kind: 'camera', pixel: 113e-6 } }).unmet).toEqual(
      [],
    );
    const coarse = of('orders', { ...small, catcher: { kind: 'camera', pixel: 120e-6 } });
    expect(coarse.unmet).toEqual(['catcher']);
    expect(coarse.why[0]).toContain('Take a camera lens of 105 mm at least');
    expect(of('orders', { ...small, catcher: { kind: 'film', lines: 2e3 } }).unmet).toEqual([
      'catcher',
    ]);
  });

  test('an eye in the last row tells two minutes of arc', () => {
    // 546 nm · 3 m / 160 µm = 10.24 mm; 2′ at 17.6 m are 10.24 mm, worked by hand.
    expect(of('orders', { seat: 17.5 }).unmet).toEqual([]);
    const back = of('orders', { seat: 35.2 });
    expect(back.unmet).toEqual(['eye']);
    expect(back.why[0]).toMatch(/enlarge it 2 times, or let the class come within 17\.6 m/);
  });

  test('white light leaves some orders apart, and its colours stand free only while the second order begins beyond them', () => {
    // The first order is 200 nm · 3 m / 160 µm = 3.75 mm wide, 2.1′ at 6 m, worked by hand.
    const white = { from: 450e-9, to: 650e-9, seat: 6 };
    expect(of('colours').unmet).toEqual(['slits']);
    expect(of('colours', white).shows).toBe(true);
    expect(of('colours', { ...white, seat: 7 }).unmet).toEqual(['eye']);
    expect(of('colours', { from: 380e-9, to: 780e-9 }).unmet).toEqual(['overlap']);
    // a : d is 1 : 4, and white light fills the gaps from the third order on.
    expect(of('missing order', white).unmet).toContain('overlap');
    expect(of('missing order', { ...white, width: 80e-6 }).unmet).not.toContain('overlap');
  });

  test('what is too faint beside the middle is told, and for how long to expose', () => {
    // Of N equal slits the amplitude half way between orders is that of one in N, added arrow by arrow; N odd.
    const five = { slits: 5, seat: 1, sourceWidth: 0 };
    const camera = { ...five, catcher: { kind: 'camera', pixel: 1e-6 }, enlarged: 100 } as const;
    expect(of('weak maxima', { ...five, slits: 9 }).unmet).toEqual(['exposure']);
    expect(of('weak maxima', { ...five, slits: 7 }).shows).toBe(true);
    const faint = of('weak maxima', { ...camera, slits: 20 });
    expect([faint.shows, faint.exposure]).toEqual([true, 4]);
    expect(of('weak maxima').unmet).toEqual(['slits']);
    // First maximum beside the middle of one slit, found by looking along it: 4.7 % of the middle.
    const sinc = (u: number) => (Math.sin(u) / u) ** 2;
    const side = Math.max(
      ...Array.from({ length: 3000 }, (_, i) => sinc(Math.PI + (i + 1) / 1000)),
    );
    const film = of('envelope', { slits: 1, catcher: { kind: 'film', lines: 1e5 } });
    expect(film.needs.at(-1)!.sentence).toContain(`${(100 * side).toFixed(1)} %`);
  });

  test('what is no arrangement is refused by name', () => {
    expect(() => willItShow({ ...pair, seat: 0 })).toThrow('seat');
    expect(() => willItShow({ ...pair, slits: 1.5 })).toThrow('The number of slits');
    expect(() => willItShow({ ...pair, spacing: 20e-6 })).toThrow('overlap');
    expect(() => willItShow({ ...pair, from: 700e-9 })).toThrow('exchange from and to');
  });
});

describe('a plan', () => {
  const cupboard = {
    slides: [
      { slits: 2, width: 40e-6, spacing: 160e-6 },
      { slits: 2, width: 40e-6, spacing: 120e-6 },
      { slits: 5, width: 40e-6, spacing: 100e-6 },
    ],
    lights: [
      { name: 'lamp', from: 450e-9, to: 650e-9, brightness: 1 },
      { name: 'lamp, green filter', from: 541e-9, to: 551e-9, brightness: 0.05 },
    ],
    collimators: [0.3, 0.6],
    lenses: [0.3, 1, 3],
    sourceSlit: [10e-6, 1e-3],
  } as const;
  const hall = { by: 'lenses', catcher: { kind: 'screen' }, enlarged: 1, seat: 5 } as const;

  test('shows all that was wished for, each verdict asked again', () => {
    const wishes: SightName[] = ['orders', 'missing order', 'weak maxima', 'colours'];
    const { arrangements, without } = planDemonstration(wishes, cupboard, hall);
    expect(without).toEqual([]);
    const shown = new Set(arrangements.flatMap(({ shows }) => shows));
    expect([...shown].sort()).toEqual([...wishes].sort());
    for (const { demonstration, shows } of arrangements) {
      const seen = willItShow(demonstration).filter((sight) => sight.shows);
      for (const name of shows) expect(seen.map((sight) => sight.name)).toContain(name);
    }
  });

  test('opens the source slit as far as goes, and of two that do takes the brighter', () => {
    const [{ demonstration, light }] = planDemonstration(['orders'], cupboard, hall).arrangements;
    expect(light.name).toBe('lamp');
    const wider = { ...demonstration, sourceWidth: 1.02 * demonstration.sourceWidth };
    expect(willItShow(wider)[0].shows).toBe(false);
  });

  test('says why nothing shows a thing', () => {
    const poor = { ...cupboard, slides: [cupboard.slides[0]] };
    const { arrangements, without } = planDemonstration(['orders', 'weak maxima'], poor, hall);
    expect(arrangements.map(({ shows }) => shows)).toEqual([['orders']]);
    expect(without).toEqual([{ name: 'weak maxima', why: 'It takes three slits or more.' }]);
    expect(() => planDemonstration(['orders'], { ...poor, slides: [] }, hall)).toThrow(
      'There are no slides in the cupboard',
    );
  });
});
