import { describe, expect, test } from 'vitest';
import { slits, slitsAt } from '../../kernel-lib/aperture/aperture';
import { runs } from '../../kernel-lib/aperture/runs';

const um = 1e-6;
const at = (centres: readonly number[]) =>
  slitsAt(centres.map((centre) => ({ centre: centre * um, width: 5 * um })));
const plate = { re: 0, im: 1 };

test('equal slits stand around x = 0, spacing centre to centre', () => {
  const { slits: list } = slits(3, { width: 2e-6, spacing: 6e-6 });
  expect(list.map(({ centre }) => centre)).toEqual([-6e-6, 0, 6e-6]);
  expect(list.every(({ width, transmission }) => width === 2e-6 && transmission === 1)).toBe(true);
});

test('slits in any order are sorted, and the list given stays as it is', () => {
  const given = [
    { centre: 5e-6, width: 1e-6 },
    { centre: -5e-6, width: 1e-6 },
  ];
  expect(slitsAt(given).slits.map(({ centre }) => centre)).toEqual([-5e-6, 5e-6]);
  expect(given[0].centre).toBe(5e-6);
});

describe('slits, at the edges of what is allowed', () => {
  test('touching slits may miss one another by rounding, not by more', () => {
    expect(slits(3, { width: 0.3, spacing: 0.1 + 0.2 - 1e-16 }).slits).toHaveLength(3);
    expect(() => slits(3, { width: 1, spacing: 1 - 1e-9 })).toThrow(/The slits overlap/);
    expect(at([0, 5, 10]).slits).toHaveLength(3);
    expect(() => at([0, 4.999, 10])).toThrow(/overlap by/);
  });

  test('100 000 slits are the most', () => {
    expect(slits(100_000, { width: um, spacing: 2 * um }).slits).toHaveLength(100_000);
    expect(() => slits(100_001, { width: um, spacing: 2 * um })).toThrow(/100.?000/);
  });

  test('slits share width and transmission; what is real stays a number', () => {
    const { slits: list } = slits(3, { width: um, spacing: 2 * um, transmission: plate });
    for (const slit of list) expect(slit).toMatchObject({ width: um, transmission: plate });
    const [real] = slitsAt([{ centre: 0, width: um, transmission: { re: 0.5, im: 0 } }]).slits;
    expect(real.transmission).toBe(0.5);
    expect(slitsAt([{ centre: 0, width: um }]).slits[0].transmission).toBe(1);
  });

  test('an aperture written by hand is sorted and checked, one made here is taken as it is', () => {
    const made = at([0, 20]);
    const byHand = {
      slits: [
        { centre: 20 * um, width: 5 * um, transmission: 1 },
        { centre: 0, width: 5 * um, transmission: 1 },
      ],
    };
    expect(runs(byHand)).toEqual(runs(at([0, 20])));
    expect(Object.isFrozen(made) && Object.isFrozen(made.slits)).toBe(true);
    expect(() => Object.assign(made, { slits: [] })).toThrow(TypeError);
    const { transmission } = slitsAt([{ centre: 0, width: um, transmission: plate }]).slits[0];
    expect(Object.isFrozen(transmission)).toBe(true);
  });
});
