import { appendFileSync, existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, test } from 'vitest';
import { readingIn } from '../../kernel-lib/markbook/reading';
import { codesWith } from '../../kernel-lib/marker/written-by-hand';
import { oneSlit, withEntries } from '../cli/class-for-test';
import { scratch } from '../scratch';
import { eMail, folderToRead } from './folder-to-read';

const { of, isOurs, formerly } = codesWith('a secret');
const many = Array.from({ length: 20_000 }, (_, i) => of(`02-one-slit ${i}`, '2.9'));

test('codes differ, and no spreadsheet takes one for a number, a day, a formula or a power of ten', () => {
  expect(new Set(many).size).toBe(many.length);
  for (const code of many) expect(code).toMatch(/^w[2-9b-df-hj-np-tv-z]{9}$/);
  expect(many.some((code) => Number.isFinite(Number(code)))).toBe(false);
  // One in about 60 of the codes of earlier versions was all digits, or digits and one e.
  const old = many.map((_, i) => formerly(`02-one-slit ${i}`));
  expect(old.filter((code) => Number.isFinite(Number(code))).length).toBeGreaterThan(200);
});

test('a code of this folder is known, one of another folder or with one sign mistyped is not', () => {
  const sample = many.slice(0, 500);
  expect(sample.every(isOurs)).toBe(true);
  const other = codesWith('another secret');
  expect(sample.filter(other.isOurs).length).toBeLessThan(10);
  const mistyped = sample.map((code) =>
    code.replace(/.(?=.$)/, (sign) => (sign === 'b' ? 'c' : 'b')),
  );
  expect(mistyped.filter(isOurs)).toEqual([]);
  for (const code of ['', 'w', '1.23E+45', 'W'.repeat(99)]) expect(isOurs(code)).toBe(false);
});

const students = ['300700', '300701', '300702', '300703', '300704', '300705'];
const question = '2.9';
const { at } = scratch('read-by-people-');
const nothing = { ticks: [], points: '', remark: '' };

describe('written answers as people read them', () => {
  const writers = students.map((student, i) => ({
    ...{ student, name: `${i === 0 ? 'Mira' : 'Tom'} Tarrow` },
    wrote: `${student} says, and so does Mira (${eMail}): $a\\sin\\theta=\\lambda$, number ${student}.`,
  }));
  const table = () => readFileSync(at('marks', 'written', `${oneSlit}.csv`), 'utf8');
  const rows = (): Record<string, string>[] => parse(table(), { columns: true, bom: true });
  const log = (): Record<string, string>[] =>
    parse(readFileSync(at('marks', 'written', 'readings.csv')), { columns: true, bom: true });
  const waits = {
    ...{ question, asks: 'Narrower and wider', outOf: 4, message: 'Waits.' },
    ...{ state: 'to be read' as const, marks: 0 },
  };
  let folder: ReturnType<typeof folderToRead>;
  const begin = () => folder.begin();
  const run = (begun: Awaited<ReturnType<typeof begin>>) => folder.run(begun);
  let reading: ReturnType<typeof readingIn>;

  const enter = (code: string, by: string, ticks: readonly string[], settles = '') =>
    reading.enter(
      { sheet: oneSlit, question, code },
      { by, settles, entered: { ...nothing, ticks } },
    );
  const pile = (by: string) => reading.answers(oneSlit, question, by);
  const is = (by: string, code: string) => pile(by).find((one) => one.code === code)?.is;
  const rowOf = (code: string) => rows().find((row) => row.code === code)!;
  const marksOf = (code: string) => {
    const now = students.map((student) => reading.readNow(student, oneSlit, waits)?.marks);
    const index = pile('nobody').findIndex((one) => one.code === code);
    return { now, index };
  };
  let codes: string[];

  beforeAll(async () => {
    folder = folderToRead(at('marks'), writers);
    await run(await begin());
    reading = readingIn(at('marks'), () => folder.marked);
    codes = pile('Orla').map(({ code }) => code);
  });

  test('come one at a time in an order that tells nothing, without number, name or address', () => {
    expect(codes).toHaveLength(students.length);
    const again = readingIn(at('marks'), () => folder.marked).answers(oneSlit, question, 'Jon');
    expect(again.map(({ code }) => code)).toEqual(codes);
    const texts = codes.map((code) => {
      const { parts } = reading.shown(oneSlit, question, code);
      return parts.map(({ source }) => source).join();
    });
    expect(texts.every((text) => text.includes('$a\\sin\\theta=\\lambda$'))).toBe(true);
    const told = JSON.stringify([texts, pile('Orla'), reading.told('Orla')]);
    for (const secret of [...students, eMail, 'Tarrow']) expect(told).not.toContain(secret);
    expect(texts.filter((text) => !text.includes('Mira'))).toHaveLength(1);
  });

  test('a reading is in the table that the command line reads, and in the marks at once', async () => {
    await enter(codes[0], 'Orla', ['x', '0', '0.5', '0']);
    expect(rowOf(codes[0])).toMatchObject({ 'line 1': 'x', 'line 2': '0', 'line 3': '0.5' });
    expect(marksOf(codes[0]).now.filter((marks) => marks === 1.5)).toHaveLength(1);
    expect((await run(await begin())).filter(({ marks }) => marks === 1.5)).toHaveLength(1);
    expect([is('Orla', codes[0]), is('Orla', codes[1])]).toEqual(['mine', 'unread']);
  });

  test('what is read while returns are being run stays, and is in the marks of that run', async () => {
    const begun = await begin();
    await enter(codes[1], 'Orla', ['x', 'x', 'x', 'x']);
    const given = await run(begun);
    expect(given.filter(({ marks }) => marks === 4)).toHaveLength(1);
    expect(rowOf(codes[1])['line 4']).toBe('x');
  });

  test('a second reader sees nothing of the first, and moves no mark; the difference is listed and settled', async () => {
    const blind = pile('Jon').find(({ code }) => code === codes[1]);
    expect(blind).toEqual({ code: codes[1], is: 'second', note: '' });
    await enter(codes[1], 'Jon', ['x', '0', '0', '0']);
    expect(rowOf(codes[1])['line 2']).toBe('x');
    const [found] = reading.differences(oneSlit, question);
    expect(found.readings.map(({ by, marks }) => [by, marks])).toEqual([
      ['Orla', 4],
      ['Jon', 1],
    ]);
    await enter(codes[1], 'Jon', ['x', 'x', '0', '0'], 'The second half is not there.');
    expect(rowOf(codes[1])).toMatchObject({ 'line 2': 'x', 'line 3': '0' });
    const [settled] = reading.differences(oneSlit, question);
    expect([settled.counts, settled.settled]).toEqual([
      2,
      { by: 'Jon', reason: 'The second half is not there.' },
    ]);
    expect(reading.told('Jon').questions[0]).toMatchObject({ differ: 0, mine: 1, second: 1 });
  });

  test('undo takes back what this reader did last, and only that', async () => {
    expect(await reading.undo('Jon')).toMatchObject({ code: codes[1] });
    expect(reading.told('Jon').questions[0].differ).toBe(1);
    await reading.undo('Jon');
    expect(is('Jon', codes[1])).toBe('second');
    expect(rowOf(codes[1])['line 4']).toBe('x');
    await expect(reading.undo('Jon')).rejects.toThrow(/nothing of yours/);
    expect(log().filter(({ undoes }) => undoes !== '')).toHaveLength(2);
  });

  test('what is entered in the table by hand counts, and is kept beside what was read', async () => {
    writeFileSync(
      at('marks', 'written', `${oneSlit}.csv`),
      withEntries(table(), ({ code }) => code === codes[0], { 'line 2': 'x' }),
    );
    expect(marksOf(codes[0]).now.filter((marks) => marks === 2.5)).toHaveLength(1);
    await enter(codes[0], 'Jon', ['0', '0', '0', '0']);
    expect(rowOf(codes[0])['line 2']).toBe('x');
    expect(log().find(({ settles }) => settles === 'Entered in the table.')).toMatchObject({
      ...{ by: '', code: codes[0], ticks: 'x x 0.5 0' },
    });
  });

  test('many at once all stand; what a power cut left, and a line cut off, is in nobody’s way', async () => {
    appendFileSync(at('marks', 'written', 'readings.csv'), '2026-11-28T09:00:00Z,99,"Orl');
    writeFileSync(at('marks', 'written', `${oneSlit}.csv.lock`), '4194305\n');
    await Promise.all(codes.slice(2).map((code) => enter(code, 'Orla', ['x', '0', '0', '0'])));
    expect(codes.slice(2).map((code) => rowOf(code)['line 1'])).toEqual(['x', 'x', 'x', 'x']);
    expect(new Set(log().map((line) => line.reading)).size).toBe(log().length);
    expect(existsSync(at('marks', 'written', `${oneSlit}.csv.lock`))).toBe(false);
  });

  test('what cannot be is refused and changes nothing; a table left wrong is told', async () => {
    const before = [table(), log().length];
    await expect(enter(codes[0], 'Orla', ['2'])).rejects.toThrow(/has "2" at line 1/);
    await expect(enter('w222222222', 'Orla', ['x'])).rejects.toThrow(/no longer in the table/);
    expect([table(), log().length]).toEqual(before);
    const wrong = withEntries(table(), ({ code }) => code === codes[0], { points: '99' });
    writeFileSync(at('marks', 'written', `${oneSlit}.csv`), wrong);
    expect(reading.told('Orla').problem).toMatch(/02-one-slit\.csv: Line \d+ .*"99" as points/);
    await expect(enter(codes[1], 'Orla', ['x'])).rejects.toThrow(/"99" as points/);
    expect(table()).toBe(wrong);
    rmSync(at('marks', 'written', 'codes.secret'));
    await expect(begin()).rejects.toThrow(/codes\.secret is not there/);
  });
});
