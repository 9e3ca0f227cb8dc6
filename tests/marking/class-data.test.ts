import { describe, expect, test } from 'vitest';
import { type ClassData, classData } from '../../kernel-lib/marking/class-data';
import { writeCsv } from '../../kernel-lib/marking/csv';
import { readRecord, writeRecord } from '../../kernel-lib/marking/record';
import { classPage, toDiscuss } from '../../kernel-lib/marking/report/class-page';
import { studentPage } from '../../kernel-lib/marking/report/student-page';
import { marksTable } from '../../kernel-lib/marking/report/tables';
import { recordOf, slip, title } from './class-of-three';

const records = [
  recordOf('1003', [0, 2]),
  recordOf('1001', [2, 2]),
  recordOf('1002', [0, 0], { time: '2026-11-21T13:00:00.000Z' }),
];
const roster = ['1002', '1001', '1004', '1003'].map((student) => ({ student, extraDays: 0 }));
const late = { deadline: Date.parse('2026-11-20T12:00:00Z'), perDay: 0.5 };
const data: ClassData = classData(records, [title], { roster, late });

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
    const report = { data: own, lockDown: hostile, zone: 'UTC', spreads: new Map(), alike, aside };
    for (const html of [studentPage(own.students[0], own, 'UTC'), classPage(report)]) {
      expect(html).not.toMatch(/<script|<img|onerror="/);
      expect(html).toContain('&lt;script&gt;');
    }
  });

  test('the class page names no one but by number, and has its plots with words', () => {
    const spreads = new Map([
      ['09-invented', [{ question: '9.1', ratios: [1, 1.001, 57.3, 0.5, 1e6, -1] }]],
    ]);
    const html = classPage({
      data,
      lockDown: 'locked down',
      zone: 'UTC',
      spreads,
      alike: [],
      aside: [],
    });
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
