import { describe, expect, test } from 'vitest';
import { writeCsv } from '../../kernel-lib/marking/csv';
import {
  byHandLine,
  inTable,
  type ReadingLine,
  readingColumns,
  readReadings,
  rowOfReading,
  standOf,
} from '../../kernel-lib/marking/readings';
import { asRead } from '../../kernel-lib/marking/written-table';

const scheme = [
  { marks: 1, point: 'says what' },
  { marks: 2, point: 'says why', half: true as const },
];
let last = 0;
function line(
  by: string,
  ticks: readonly string[],
  more: Partial<ReadingLine> & { remark?: string } = {},
): ReadingLine {
  last += 1;
  const { remark = '', ...rest } = more;
  return {
    ...{ when: '2026-11-28T09:00:00Z', reading: last, by, sheet: '09-invented' },
    ...{ question: '9.3', code: 'wa', entered: { ticks, points: '', remark }, settles: '' },
    ...rest,
  };
}
const ticksOf = (lines: readonly ReadingLine[]) => standOf(lines, scheme).counts.ticks;

describe('how the readings of one answer stand', () => {
  test('the first reader’s counts, with the last word of it; a second judgement moves nothing', () => {
    const lines = [line('Orla', ['x', '0']), line('Jon', ['0', 'x']), line('Orla', ['x', '1'])];
    expect(ticksOf(lines)).toEqual(['x', '1']);
    expect(standOf(lines, scheme).differ).toEqual([]);
    expect(standOf(lines.slice(0, 2), scheme).differ).toEqual(['Jon']);
  });

  test('other ticks with the same marks are no difference', () => {
    const half = [line('Orla', ['x', '0']), line('Jon', ['0', '1'])];
    expect(standOf(half, scheme).differ).toEqual([]);
  });

  test('what is settled counts until the first reader or the table says otherwise', () => {
    const lines = [
      line('Orla', ['x', '0']),
      line('Jon', ['x', 'x']),
      line('Orla', ['x', '1'], { settles: 'Half of the why is there.' }),
    ];
    const stand = standOf(lines, scheme);
    expect([stand.counts.ticks, stand.differ]).toEqual([['x', '1'], []]);
    expect(stand.settled).toEqual({ by: 'Orla', reason: 'Half of the why is there.' });
    // A judgement that is made after that is a new difference.
    expect(standOf([...lines, line('Jon', ['x', 'x'])], scheme).differ).toEqual(['Jon']);
    expect(ticksOf([...lines, line('Orla', ['0', '0'])])).toEqual(['0', '0']);
  });

  test('what was taken back counts no more, and who was second becomes first', () => {
    const first = line('Orla', ['x', 'x']);
    const second = line('Jon', ['x', '0']);
    const back = line('Orla', [], { undoes: first.reading });
    expect(ticksOf([first, second, back])).toEqual(['x', '0']);
    expect(ticksOf([first, back])).toEqual([]);
    expect(standOf([first, second, back], scheme).byReader.has('Orla')).toBe(false);
  });

  test('what somebody enters in the table by hand goes before all that was read', () => {
    const read = [line('Orla', ['x', '0'], { remark: 'Why?' })];
    const row = { ticks: ['x', ''], points: '', remark: 'Why?' };
    expect(byHandLine(read, { ...row, ticks: ['x', '0'] }, scheme)).toBeUndefined();
    const hand = byHandLine(read, { ...row, ticks: ['x', 'x'] }, scheme);
    expect(hand).toMatchObject({ by: '', settles: inTable });
    expect(ticksOf([...read, line('', [], hand)])).toEqual(['x', 'x']);
    expect(byHandLine([], row, scheme)).toMatchObject({ by: '', settles: '' });
    expect(byHandLine([], { ticks: [], points: '', remark: '' }, scheme)).toBeUndefined();
  });
});

test('readings come back out of their table as they were, whatever was typed', () => {
  const lines = [
    line('=Orla', ['x', '', '0.5'], { remark: '-1 is "not", said;\tso' }),
    line('Jon', [], { entered: { ticks: [], points: '2.5', remark: '' }, undoes: 1 }),
    line('Jon', ['0', '0'], { settles: '=Both say so.' }),
  ];
  const table = writeCsv([readingColumns, ...lines.map(rowOfReading)]);
  expect(table).toContain("'=Orla");
  expect(readReadings(table)).toEqual(lines);
  expect(readReadings('')).toEqual([]);
});

test('an answer that was read says what of the mark scheme was met, and nothing of an earlier reading', () => {
  const asked = { question: '9.3', asks: 'Why', outOf: 3 };
  const waits = { ...asked, state: 'to be read', marks: 0, message: 'Waits.' } as const;
  const half = asRead(waits, { ticks: ['x', '1'], points: '', remark: 'More.' }, scheme);
  expect(half).toMatchObject({ state: 'not yet', marks: 2, isRead: true, remark: 'More.' });
  expect(half.ticks).toEqual([
    { point: 'says what', marks: 1, outOf: 1 },
    { point: 'says why', marks: 1, outOf: 2 },
  ]);
  const points = asRead(half, { ticks: [], points: '3', remark: '' }, scheme);
  expect(points).toMatchObject({ state: 'agrees', marks: 3 });
  expect([points.ticks, points.remark]).toEqual([undefined, undefined]);
  const again = asRead(points, { ticks: [], points: '', remark: '' }, scheme);
  expect([again.state, again.marks, again.isRead]).toEqual(['to be read', 0, undefined]);
});
