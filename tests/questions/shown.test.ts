import { describe, expect, test } from 'vitest';
import { degrees } from '../../kernel-lib/quantity/si';
import {
  digitsFor,
  distanceFrom,
  nearestSlip,
  shownNumber,
  shownTolerance,
  workSlips,
} from '../../kernel-lib/questions/kinds/tolerance';
import { readStudentNumber } from '../../kernel-lib/questions/student-number';

describe('digits that tell two values on either side of a tolerance apart', () => {
  test.each([
    [{ relative: 0.3 }, 1, 4],
    [{ relative: 0.005 }, 1, 4],
    [{ relative: 1e-4 }, 1, 5],
    [{ relative: 1e-6 }, 1, 7],
    [{ relative: 1e-20 }, 1, 12],
    [{ absolute: 0.001 }, 10, 5],
    [{ absolute: 0.001 }, -10, 5],
    [{ absolute: 0.0001 }, 0, 5],
    [{ uncertainties: 2 }, 1, 4],
    [{ absolute: 1 }, Number.POSITIVE_INFINITY, 4],
    [undefined, 1, 4],
  ] as const)('%j of %d: %d digits', (tolerance, size, digits) =>
    expect(digitsFor(tolerance, size)).toBe(digits),
  );

  test('and so they do', () => {
    for (const relative of [0.004, 3e-5, 2e-7]) {
      const shown = [1 - relative, 1, 1 + relative].map((x) =>
        shownNumber({ value: 4.56789 * x }, 'm', { relative }),
      );
      expect(new Set(shown).size).toBe(3);
    }
  });
});

test('degrees are shown in minutes and seconds too, up to some turns', () => {
  const shown = (value: number) => shownNumber({ value }, 'deg');
  expect(shown(degrees(30.5))).toBe('30.5° (30° 30′ 00″)');
  expect(shown(degrees(-99.5))).toMatch(/\(.*99° 30′ 00″\)$/);
  expect(shown(degrees(359.5))).toBe('359.5° (359° 30′ 00″)');
  expect(shown(100)).not.toContain('(');
  expect(shown(-1e6)).not.toContain('(');
  expect(shown(Number.NaN)).not.toContain('(');
  expect(shownNumber({ value: 0.5 }, 'rad')).toBe('0.5 rad');
  expect(shownNumber({ value: 1e-3, u: 0 }, 'mm')).toBe('1 mm');
  expect(shownNumber({ value: 1e-3, u: 2e-5 }, 'mm')).toBe('1.000(20) mm');
});

test.each([
  [{ relative: 0.005 }, 'mm', '0.5 %'],
  [{ absolute: 2e-4 }, 'mm', '0.2 mm'],
  [{ uncertainties: 1 }, 'mm', '1 standard uncertainty'],
  [{ uncertainties: 2 }, 'mm', '2 standard uncertainties'],
] as const)('the tolerance %j in %s is said “%s”', (tolerance, unit, said) =>
  expect(shownTolerance(tolerance, unit)).toBe(said),
);

describe('distance in half-widths of the tolerance', () => {
  test.each([
    [{ absolute: 2 }, 105, 100, 2.5],
    [{ relative: 0.02 }, 105, 100, 2.5],
    [{ relative: 0.02 }, -105, -100, 2.5],
    [{ relative: 0.02 }, 95, 100, 2.5],
  ] as const)('%j: %d lies from %d by %d', (tolerance, value, target, distance) =>
    expect(distanceFrom({ value }, target, tolerance)).toBeCloseTo(distance, 9),
  );

  test('uncertainties are the answer’s own', () => {
    const tolerance = { uncertainties: 2 };
    expect(distanceFrom({ value: 105, u: 1 }, 100, tolerance)).toBeCloseTo(2.5, 9);
    expect(distanceFrom({ value: 105, u: 5 }, 100, tolerance)).toBeCloseTo(0.5, 9);
    expect(distanceFrom({ value: 105 }, 100, tolerance)).toBeGreaterThan(1e9);
  });

  test('a scale of its own sets the width of a relative tolerance', () => {
    expect(distanceFrom({ value: 1 }, 0, { relative: 0.1 }, 20)).toBeCloseTo(0.5, 12);
    expect(distanceFrom({ value: 1 }, 0, { relative: 0.1 })).toBe(Number.POSITIVE_INFINITY);
  });

  test('equal is 0 away, rounding never decides, and nothing is near NaN', () => {
    expect(distanceFrom({ value: 0 }, 0, { relative: 0.1 })).toBe(0);
    expect(distanceFrom({ value: 0.1 + 0.2 }, 0.3, { relative: 1e-18 })).toBeLessThan(1);
    expect(distanceFrom({ value: 1 }, Number.NaN, { relative: 0.1 })).toBeNaN();
  });
});

describe('the nearest slip', () => {
  const worked = (...values: number[]) =>
    values.map((value) => ({ name: String(value), value, hint: '' }));
  const from = (answer: number) => (value: number) => Math.abs(answer - value);

  test('is the nearest within 1, the first of equals, and none beyond', () => {
    expect(nearestSlip(worked(1, 2, 2.2), from(2.15))?.name).toBe('2.2');
    expect(nearestSlip(worked(3, 1), from(2))?.name).toBe('3');
    expect(nearestSlip(worked(2.2, 2, 1), from(2.15))?.name).toBe('2.2');
    expect(nearestSlip(worked(1), from(2))?.name).toBe('1');
    expect(nearestSlip(worked(1), from(2.01))).toBeUndefined();
    expect(nearestSlip(worked(Number.NaN, 2), from(2))?.name).toBe('2');
    expect(nearestSlip([], from(2))).toBeUndefined();
  });

  test('plain hints are led in by what was read, others say it themselves', () => {
    const slips = [
      { name: 'a', value: (given: number) => 2 * given, hint: 'Twice.' },
      { name: 'b', value: () => 0, hint: (given: number, shown: string) => `${shown} of ${given}` },
    ];
    expect(workSlips(slips, 7, '14 mm')).toEqual([
      { name: 'a', value: 14, hint: '14 mm was read. Twice.' },
      { name: 'b', value: 0, hint: '14 mm of 7' },
    ]);
    expect(workSlips(slips, 7, '14 mm', '')[0].hint).toBe('Twice.');
  });
});

describe('student numbers', () => {
  test.each([
    ['0042', '0042'],
    [1234567890, '1234567890'],
    ['\t204117\n', '204117'],
    [204117, '204117'],
    // As a card or a list has it: in groups, with a blank behind, with one that does not break.
    ['204 117', '204117'],
    ['204117 ', '204117'],
    ['204\u00a0117', '204117'],
  ])('%j is %s', (given, number) => expect(readStudentNumber(given)).toBe(number));

  test.each([[undefined], [null], [''], [() => 1]])('%j is none yet', (given) =>
    expect(() => readStudentNumber(given)).toThrow(/^Type your student number .*run it again\.$/),
  );

  test.each([
    ['123', "'123'"],
    ['12345678901', "'12345678901'"],
    ['1234x', "'1234x'"],
    ['x1234', "'x1234'"],
    [12345.5, '12345.5'],
    [-1234, '-1234'],
    [2 ** 53, '9007199254740992'],
    ['9'.repeat(60), `'${'9'.repeat(40)}'`],
  ])('%j is refused and shown', (given, shown) =>
    expect(() => readStudentNumber(given)).toThrow(`nothing else; ${shown} was given.`),
  );
});
