import { describe, expect, test } from 'vitest';
import {
  daysLate,
  earned,
  extraDaysOf,
  type LateRule,
  lateSaid,
  readExtraDays,
  withExtraDays,
} from '../../kernel-lib/marking/late';

const hour = 3_600_000;
const friday = Date.parse('2026-12-04T18:00:00+01:00');
const rule: LateRule = { deadline: friday, perDay: 0.2 };
const again = [{ until: friday + 7 * 24 * hour, cap: 0.8 }];

/** A return of a sheet of ten marks. */
const record = (marks: number, time: number, doubt?: string) => ({
  questions: [
    { question: '1', asks: '', state: 'not yet' as const, marks, outOf: 10, message: '' },
  ],
  time: new Date(time).toISOString(),
  ...(doubt === undefined ? {} : { doubt }),
});

describe('a round to hand in again', () => {
  const rounds = { ...rule, again };

  test('caps what a return can count, and costs no days', () => {
    expect(earned(record(9, friday + hour), rounds)).toEqual({
      ...{ marks: 9, daysLate: 0, counted: 8, again: { round: 2, most: 8 } },
    });
    expect(earned(record(5, friday + hour), rounds).counted).toBe(5);
    expect(earned(record(9, friday), rounds)).toEqual({ marks: 9, daysLate: 0, counted: 9 });
  });

  test('days count from the end of the last round, under its cap', () => {
    const late = earned(record(10, again[0].until + hour), rounds);
    expect(late).toMatchObject({ daysLate: 1, counted: 8 });
    expect(earned(record(10, again[0].until + 25 * hour), rounds).counted).toBe(6);
  });

  test('extra days move the end of each round', () => {
    expect(earned(record(9, friday + 30 * hour), rounds, 2).again).toBeUndefined();
    expect(daysLate(again[0].until + 30 * hour, rounds, 2)).toBe(0);
  });

  test('a time in doubt costs nothing', () => {
    const held = earned(record(9, friday + hour, 'Fetched together.'), rounds);
    expect(held).toMatchObject({ counted: 9, held: 'Fetched together.' });
  });
});

describe('extra days', () => {
  const sheets = ['02-one-slit', '03-two-slits'];
  const text = [
    'student,sheet,days,reason',
    ',03-two-slits,2,The lamp of the North bench was out.',
    '204117,,3,Ill',
    '204117,03-two-slits,1,Agreed',
    '',
  ].join('\n');

  test('a sheet’s are everybody’s, a person’s come on top, and the nearest line counts', () => {
    const days = extraDaysOf(
      [
        { student: '204117', extraDays: 7 },
        { student: '300007', extraDays: 4 },
      ],
      readExtraDays(text, { sheets }),
    );
    expect(days('204117', '02-one-slit')).toBe(3);
    expect(days('204117', '03-two-slits')).toBe(3);
    expect(days('300007', '03-two-slits')).toBe(6);
    expect(days('300014', '02-one-slit')).toBe(0);
  });

  test('a line is set or taken out, and all others stay letter for letter', () => {
    const line = { student: '204117', sheet: '', reason: 'Ill' };
    expect(withExtraDays(text, { ...line, days: 5 })).toBe(
      `\ufeff${text.replace('204117,,3,Ill', '204117,,5,Ill')}`,
    );
    expect(withExtraDays(text, { ...line, days: undefined })).toBe(
      `\ufeff${text.replace('204117,,3,Ill\n', '')}`,
    );
  });

  test.each([
    [',,2,So', /Line 2 names neither a student nor a sheet/],
    ['12,,2,So', /Line 2 has "12" as student/],
    ['204118,,2,So', /who is not in the roster/],
    ['204117,01,2,So', /has "01" as sheet; there are 02-one-slit/],
    ['204117,,soon,So', /has "soon" as days/],
  ])('%j is refused with its line', (line, sentence) => {
    const students = new Set(['204117']);
    expect(() =>
      readExtraDays(`student,sheet,days,reason\n${line}\n`, { students, sheets }),
    ).toThrow(sentence);
  });
});

test('the rule is told in a sentence, by the clocks of the zone', () => {
  // 4 December 2026 is a Friday: 1 January 2000 was a Saturday, and 9834 days lie between (9834 = 7 · 1404 + 6).
  expect(lateSaid(rule, 'Europe/Berlin')).toBe(
    'Handed in by Friday 2026-12-04 18:00 (Europe/Berlin): all marks count. Handed in Saturday 2026-12-05 04:00: 20 % off. Handed in Sunday 2026-12-06 04:00: 40 % off.',
  );
  const day = { ...rule, deadline: Date.parse('2026-12-05T00:00:00Z'), again };
  expect(lateSaid(day, 'UTC')).toMatch(
    /^Handed in by the end of Friday 2026-12-04 \(UTC\).* Again by Friday 2026-12-11 17:00: at most 80 % of a sheet’s marks/,
  );
});
