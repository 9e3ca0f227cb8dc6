import { describe, expect, test } from 'vitest';
import { readHandIns, timeInName } from '../../kernel-lib/marking/hand-in-time';
import { knownZone, momentSaid, readMoment, writeMoment } from '../../kernel-lib/marking/moment';

const timeOf = (text: string, zone: string) => readMoment(text, zone)?.time;

describe('a moment that a person types', () => {
  // Source: Python 3 `zoneinfo` with the IANA tables, datetime.fromisoformat(…).replace(tzinfo=ZoneInfo(zone)).
  test.each([
    ['2026-12-04', 'Europe/Berlin', 1796425200000],
    ['2026-12-04', 'America/St_Johns', 1796441400000],
    ['2026-12-04', 'Asia/Kathmandu', 1796408100000],
    ['2026-06-04', 'Pacific/Auckland', 1780574400000],
    ['2026-10-25T02:30', 'Europe/Berlin', 1792888200000],
  ])('%s in %s: a day means its end, by the clocks there', (text, zone, time) => {
    expect(timeOf(text, zone)).toBe(time);
  });

  test('the end of a day of 23 or 25 hours is the next midnight', () => {
    const hours = (day: string) =>
      (timeOf(day, 'Europe/Berlin')! - timeOf(`${day}T00:00`, 'Europe/Berlin')!) / 3_600_000;
    expect([hours('2026-03-29'), hours('2026-10-25'), hours('2026-12-04')]).toEqual([23, 25, 24]);
  });

  test('a zone that was typed counts, whatever the instructor’s is', () => {
    const utc = Date.UTC(2026, 11, 4, 22, 59);
    for (const text of ['2026-12-04T23:59+01:00', '2026-12-04 23:59 +0100', '2026-12-04T22:59Z'])
      expect(timeOf(text, 'Asia/Tokyo')).toBe(utc);
    expect(timeOf('2026-12-04T24:00Z', 'UTC')).toBe(timeOf('2026-12-04', 'UTC'));
  });

  test.each([
    'Friday',
    '2026-02-30',
    '0026-12-04',
    '2026-13-01',
    '2026-12-04T25:00',
    '2026-12-04T24:01',
    '4.12.2026',
    '',
  ])('%j is none', (text) => expect(readMoment(text, 'UTC')).toBeUndefined());

  test('is told with the zone that was taken', () => {
    const said = (text: string, zone = 'Europe/Berlin') => {
      const moment = readMoment(text, zone);
      return moment && momentSaid(moment);
    };
    expect(said('2026-12-04')).toBe('the end of 2026-12-04 (Europe/Berlin, +01:00)');
    expect(said('2026-07-04T18:00')).toBe('2026-07-04T18:00 (Europe/Berlin, +02:00)');
    expect(said('2026-07-04T18:00Z')).toBe('2026-07-04T18:00Z');
    expect(writeMoment(Date.UTC(2026, 6, 4, 16), 'America/St_Johns')).toBe(
      '2026-07-04T13:30-02:30',
    );
    expect([knownZone('Europe/Berlin'), knownZone('Nowhere')]).toEqual([
      'Europe/Berlin',
      undefined,
    ]);
  });
});

describe('a time in a file’s name', () => {
  test('is found by a pattern, in the instructor’s zone', () => {
    const find = timeInName('YYYY-MM-DD_hh-mm-ss');
    const time = Date.UTC(2026, 11, 4, 17, 30, 5);
    expect(find('p204117_2026-12-04_18-30-05_sheet.ipynb', 'Europe/Berlin')).toBe(time);
    expect(find('p204117_2026-12-04.ipynb', 'Europe/Berlin')).toBeUndefined();
    expect(find('12026-12-04_18-30-05', 'UTC')).toBeUndefined();
    expect(timeInName('DD.MM.YYYY')('04.12.2026 (2).zip', 'UTC')).toBe(Date.UTC(2026, 11, 4));
  });

  test('of several the latest counts: nobody gains by a name that they choose', () => {
    const find = timeInName('YYYY-MM-DD_hh-mm');
    const name = '2026-12-09_08-00 mine 2026-12-01_08-00.ipynb';
    expect(find(name, 'UTC')).toBe(Date.UTC(2026, 11, 9, 8));
  });

  test.each(['YYYY-MM', 'hh:mm', 'YYYY-MM-DD YYYY', 'YYYY-MM-DD hh'])(
    '%s is refused',
    (pattern) => {
      expect(() => timeInName(pattern)).toThrow(/is no pattern for times/);
    },
  );
});

describe('the table of times', () => {
  const sheets = ['02-one-slit'];

  test('reads comma and semicolon, in any order of columns', () => {
    const text = '\uFEFFtime;student;name;sheet\r\n2026-12-04 18:30;204117;x;02-one-slit\r\n';
    expect(readHandIns(text, 'UTC', sheets)).toEqual([
      { student: '204117', sheet: '02-one-slit', time: Date.UTC(2026, 11, 4, 18, 30) },
    ]);
  });

  test('every line that cannot be used is told at once', () => {
    const lines = [
      'student,sheet,time',
      '12,02-one-slit,2026-12-04T18:30',
      '204117,9,2026-12-04T18:30',
    ];
    const text = [...lines, '204117,02-one-slit,2026-12-04', '204117,02-one-slit,soon'].join('\n');
    expect(() => readHandIns(text, 'UTC', sheets)).toThrow(
      /Line 2 .*"12"[\s\S]*Line 3 .*"9" as sheet; there are 02-one-slit[\s\S]*Line 4 .*"2026-12-04"[\s\S]*Line 5 .*"soon"/,
    );
    expect(() => readHandIns('a,b\n', 'UTC', sheets)).toThrow(
      /lacks the columns student, sheet, time/,
    );
  });
});
