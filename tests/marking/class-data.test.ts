import { sampleCorrelation } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import {
  type ClassData,
  classData,
  correlation,
  questionStatistics,
} from '../../kernel-lib/marking/class-data';
import { toDiscuss } from '../../kernel-lib/marking/class-whole';
import { writeCsv } from '../../kernel-lib/marking/csv';
import { afterDeduction, daysLate } from '../../kernel-lib/marking/late';
import { readRecord, toLookAt, writeRecord } from '../../kernel-lib/marking/record';
import { classPage } from '../../kernel-lib/marking/report/class-page';
import { studentPage } from '../../kernel-lib/marking/report/student-page';
import { marksTable, returnsTable } from '../../kernel-lib/marking/report/tables';
import { seeded } from '../../kernel-lib/numerics/random';
import { recordOf, slip, title } from './class-of-three';

const records = [
  recordOf('1003', [0, 2]),
  recordOf('1001', [2, 2]),
  recordOf('1002', [0, 0], { time: '2026-11-21T13:00:00.000Z' }),
];
const roster = ['1002', '1001', '1004', '1003'].map((student) => ({ student, extraDays: 0 }));
const late = { deadline: Date.parse('2026-11-20T12:00:00Z'), perDay: 0.5 };
const data: ClassData = classData(records, [title], { roster, late });

const reportOf = (of: ClassData) => ({
  ...{ data: of, lockDown: '', zone: 'UTC', spreads: new Map(), alike: [], aside: [] },
});

describe('the class put together', () => {
  test('students in the order of the roster, those who are missing too', () => {
    expect(data.students.map(({ student }) => student)).toEqual(['1002', '1001', '1004', '1003']);
    expect(data.students[2].missing).toEqual(['09-invented']);
  });

  test('days late are counted from the deadline and cost their share', () => {
    const paid = classData([recordOf('1001', [2, 2], { time: '2026-11-20T13:00:00Z' })], [title], {
      late,
    });
    expect(paid.students[0].sheets[0]).toMatchObject({ marks: 4, daysLate: 1, counted: 2 });
  });

  test('facility, slips and what waits to be read, worked by hand', () => {
    const [first, second, third] = data.sheets[0].questions;
    expect(first.facility).toBeCloseTo(1 / 3, 12);
    expect(second.facility).toBeCloseTo(2 / 3, 12);
    expect(first.slips).toEqual([{ slip: 'radians', hint: slip.message, count: 2 }]);
    expect(third.toRead).toBe(3);
  });

  test('the mark book has a row for each and says what is missing or late', () => {
    const [head, first, , third] = marksTable(data);
    expect(head).toEqual(['student', '09-invented', 'total', 'out of', 'to be read', 'remarks']);
    expect(first).toEqual(['1002', 0, 0, 6, 2, '09-invented: 2 days late']);
    expect(third).toEqual(['1004', '', 0, 6, 0, 'missing: 09-invented']);
  });

  test('what went badly, or the same wrong way for many, is to be discussed', () => {
    const found = toDiscuss(data.sheets);
    expect(found.map(({ question }) => question)).toEqual(['9.1']);
    expect(found[0].why).toMatch(/33 % of the marks.*2 fell into “radians”/);
  });
});

describe('pages', () => {
  const hostile = '<script>alert(1)</script><img src=x onerror="alert(2)">';

  test('a student sees each question with its mark, reason and hint', () => {
    const html = studentPage(data.students[0], data, 'Europe/Berlin');
    expect(html).toMatch(/Student 1002/);
    expect(html).toMatch(/9\.1<\/div>.*Not yet\. 0\.01 was read\. &lt;b&gt;Degrees/);
    expect(html).toMatch(/0 of 2/);
    expect(html).toMatch(/– of 2/);
    expect(html).toMatch(/2 days late: 0 count/);
    // 13:00 UTC in November is 14:00 by the clocks of Berlin.
    expect(html).toMatch(/saved 2026-11-21 14:00 \(Europe\/Berlin\)/);
    expect(studentPage(data.students[2], data, 'UTC')).toMatch(/Not handed in.*An invented sheet/s);
  });

  test('nothing a student wrote becomes markup', () => {
    const record = recordOf('1001', [0, 0], {
      path: hostile,
      note: hostile,
      failure: hostile,
      cells: [{ id: hostile, error: { name: hostile, message: hostile } }],
    });
    const own = classData([record], [title], {});
    const aside = [{ path: hostile, reason: hostile, why: hostile }];
    const alike = [
      {
        sheet: hostile,
        students: [hostile, hostile],
        passages: 12,
        numbers: [hostile],
        names: [hostile],
      },
    ];
    const report = { ...reportOf(own), lockDown: hostile, alike, aside };
    for (const html of [studentPage(own.students[0], own, 'UTC'), classPage(report)]) {
      expect(html).not.toMatch(/<script|<img|onerror="/);
      expect(html).toContain('&lt;script&gt;');
    }
  });

  test('the class page names no one but by number, and has its plots with words', () => {
    const spreads = new Map([
      ['09-invented', [{ question: '9.1', ratios: [1, 1.001, 57.3, 0.5, 1e6, -1] }]],
    ]);
    const html = classPage({ ...reportOf(data), spreads });
    expect(html.match(/<svg/g)?.length).toBeGreaterThanOrEqual(2);
    expect(html).toMatch(/9\.1, 2 of 4 within 2 %\. 2 lie outside/);
    expect(html).toMatch(/Marks. 3 returns: 0 to 4 of 6/);
  });
});

describe('records', () => {
  test('what is written is read again; anything else is no record', () => {
    const record = recordOf('1001', [2, 0]);
    expect(readRecord(writeRecord(record))).toEqual(record);
    for (const text of [
      '',
      '{',
      'null',
      '7',
      '{"student":"1001"}',
      writeRecord(record).slice(0, 99),
    ])
      expect(readRecord(text)).toBeUndefined();
  });
});

describe('CSV', () => {
  test('quotes, and takes the sting out of formulas and control characters', () => {
    const rows = [
      ['a,b', 'say "x"', 'two\nlines', 3, ''],
      ['=1+1', '-2', '+3', '@x', '\u0000\u001b[2J'],
    ];
    expect(writeCsv(rows)).toBe(
      `\ufeff"a,b","say ""x""","two\nlines",3,\n'=1+1,'-2,'+3,'@x,  [2J\n`,
    );
  });
});

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

const note = 'The notebook says 1030, the file’s name was taken.';
const typed = (first: number, second: number) => ({
  number: '1030',
  marks: { '9.1': first, '9.2': second, '9.3': 0 },
});

test('a number of nobody’s: only what it would earn more is told, and what to enter then', () => {
  expect(toLookAt(recordOf('1003', [0, 2], { typed: typed(2, 2) }))).toEqual([
    expect.stringMatching(/judged with 1030, too.*: 9\.1: 2\. .*enter these in changed-marks\.csv/),
  ]);
  for (const marks of [typed(0, 2), typed(0, 0)]) {
    const [said] = toLookAt(recordOf('1003', [0, 2], { typed: marks }));
    expect(said).toMatch(/no question has more marks/);
    expect(said).not.toMatch(/changed-marks/);
  }
});

test('the class’s page, the table of returns and the student’s page tell of the same', () => {
  const record = recordOf('1003', [0, 2], {
    note,
    flags: ['Cells were deleted.'],
    typed: typed(2, 2),
  });
  const data = classData([record], [title], {});
  const said = toLookAt(record).join(' ');
  expect(said).toContain(`${note} Cells were deleted. It was judged`);
  expect(classPage(reportOf(data)).split(said)).toHaveLength(2);
  const [, row] = [...returnsTable([record], [], [], new Map(), 'UTC')];
  expect(row.at(-1)).toBe(said);
  const own = studentPage(data.students[0], data, 'UTC');
  expect(own).toMatch(/number 1030 that stands in the notebook, 9\.1 would have more marks/);
  expect(own).not.toMatch(/deleted|changed-marks/);
});

test('a return that did not run keeps what else is to be known of it', () => {
  const record = recordOf('1003', [0, 0], { note, failure: 'It was given up.' });
  const [, row] = [...returnsTable([record], [], [], new Map(), 'UTC')];
  expect(row.slice(1, 2)).toEqual(['did not run']);
  expect(row.at(-1)).toBe(`It was given up. ${note}`);
});

test('one is told as one', () => {
  const data = classData([recordOf('1003', [0, 2])], [title], {});
  expect(classPage(reportOf(data))).toMatch(/<p>1 student, 1 return marked\./);
  expect(classPage(reportOf(data))).not.toMatch(/\b1 (?:returns|students|marks)\b/);
});
