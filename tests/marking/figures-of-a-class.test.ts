import { sampleCorrelation } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import { correlation, questionStatistics } from '../../kernel-lib/marking/class-data';
import { afterDeduction, daysLate } from '../../kernel-lib/marking/late';
import { seeded } from '../../kernel-lib/numerics/random';

describe('statistics of questions', () => {
  test('correlation agrees with simple-statistics 7.12.1', () => {
    const random = seeded('class');
    for (let n = 0; n < 20; n++) {
      const x = [...Array(30)].map(() => random.uniform());
      const y = x.map((value) => value + random.uniform());
      expect(correlation(x, y)).toBeCloseTo(sampleCorrelation(x, y), 12);
    }
    expect(correlation([1, 1, 1], [1, 2, 3])).toBeUndefined();
  });

  test('facility is the mean share of the marks; discrimination leaves the question itself out', () => {
    const marks = [
      [2, 3, 0],
      [2, 2, 1],
      [0, 1, 1],
      [0, 0, 2],
    ];
    const [first, second, third] = questionStatistics(marks, [2, 3, 2]);
    expect(first.facility).toBe(0.5);
    expect(second.facility).toBe(0.5);
    const own = [2, 2, 0, 0];
    expect(first.discrimination).toBeCloseTo(sampleCorrelation(own, [3, 3, 2, 2]), 12);
    expect(third.discrimination).toBeLessThan(0);
  });
});

describe('handing in late', () => {
  const rule = { deadline: Date.parse('2026-11-20T12:00:00Z'), perDay: 0.1 };

  test('started days count, granted days do not', () => {
    expect(daysLate(Date.parse('2026-11-20T11:59:59Z'), rule)).toBe(0);
    expect(daysLate(Date.parse('2026-11-20T12:00:01Z'), rule)).toBe(1);
    expect(daysLate(Date.parse('2026-11-22T11:00:00Z'), rule)).toBe(2);
    expect(daysLate(Date.parse('2026-11-22T11:00:00Z'), rule, 2)).toBe(0);
    expect(daysLate(undefined, rule)).toBe(0);
  });

  test('the deduction never goes below nothing', () => {
    expect(afterDeduction(10, 2, 0.1)).toBe(8);
    expect(afterDeduction(7, 1, 0.1)).toBe(6.3);
    expect(afterDeduction(10, 30, 0.1)).toBe(0);
  });
});
