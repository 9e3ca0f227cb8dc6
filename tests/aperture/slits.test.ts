import { expect, test } from 'vitest';
import { slits, slitsAt } from '../../kernel-lib/aperture/aperture';

test('equal slits stand around x = 0, spacing centre to centre', () => {
  const { slits: list } = slits(3, { width: 2e-6, spacing: 6e-6 });
  expect(list.map(({ centre }) => centre)).toEqual([-6e-6, 0, 6e-6]);
  expect(list.every(({ width, transmission }) => width === 2e-6 && transmission === 1)).toBe(true);
});

test('one slit needs no spacing; touching slits are allowed', () => {
  expect(slits(1, { width: 2e-6 }).slits).toHaveLength(1);
  expect(slits(5, { width: 0.1e-3, spacing: 0.1e-3 }).slits).toHaveLength(5);
});

test('slits in any order are sorted, and the list given stays as it is', () => {
  const given = [
    { centre: 5e-6, width: 1e-6 },
    { centre: -5e-6, width: 1e-6 },
  ];
  expect(slitsAt(given).slits.map(({ centre }) => centre)).toEqual([-5e-6, 5e-6]);
  expect(given[0].centre).toBe(5e-6);
});

test('an aperture cannot be changed afterwards', () => {
  const { slits: list } = slits(2, { width: 2e-6, spacing: 6e-6 });
  expect(() => Object.assign(list[0], { width: 1 })).toThrow(TypeError);
});
