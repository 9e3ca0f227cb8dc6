import { existsSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { givensFor } from '../../kernel-lib/questions/draw';
import { needs } from '../needs';
import { handIn, keyOf, machineMarks, modelReturn, oneSlit, returnOf } from './class-for-test';
import { markingStage } from './marking-stage';

const { skip } = needs('bwrap');
const full = machineMarks(oneSlit);
const due = Date.parse('2026-10-20T12:00:00Z');
const hour = 3600;

/** What a class goes by, as it is typed: a list in words of its own, a round to hand in again, groups. */
const settings = [
  ...['--roster-columns', 'student=Kennzahl', 'name=Wer', '--sheet', oneSlit],
  ...['--deadline', '2026-10-20T12:00', '--zone', 'UTC', '--late', '10'],
  ...['--again', '2026-10-27T12:00=50', '--groups', '--solutions', 'after'],
];

interface Given {
  readonly width: number;
  readonly wavelength: number;
}

describe.skipIf(skip)('a class with a round to hand in again and groups', () => {
  const { at, mark, text, rows, classData } = markingStage('mark-rounds-');
  const words = ['--roster', at('list.csv'), ...settings];
  const granted = `student,sheet,days,reason\n204117,,2,Ill\n300028,${oneSlit},1,Agreed\n`;
  const sheetOf = (student: string) =>
    classData().students.find((one) => one.student === student)!.sheets[0];
  const page = (student: string) => text('students', `${student}.html`);

  beforeAll(async () => {
    const put = (name: string, notebook: Parameters<typeof handIn>[2], hours: number) => {
      const time = due / 1000 + hour * hours;
      utimesSync(handIn(at('returns'), name, notebook), time, time);
    };
    const list = ['204117;Tarrow', '300007;Okellin', '300014;A', '300021;B', '300028;C'];
    writeFileSync(at('list.csv'), `Kennzahl;Wer\n${list.join('\n')}\n`);
    // Nothing in time, then everything: half of the sheet's marks at most.
    put('204117.ipynb', returnOf(oneSlit, '204117'), -5);
    put('204117 again.ipynb', modelReturn(oneSlit, '204117'), 30);
    // Everything in time, then less: the first counts.
    put('300007.ipynb', modelReturn(oneSlit, '300007'), -100);
    put('300007 again.ipynb', returnOf(oneSlit, '300007', { '2-1-work': '1;' }), 50);
    put('300014+300021.ipynb', modelReturn(oneSlit, '300014'), -200);
    put('300021 alone.ipynb', returnOf(oneSlit, '300021'), -300);
    put('300028.ipynb', modelReturn(oneSlit, '300028'), 24 * 8);
  });

  test('is listed before anything is marked, each file with owner, sheet, time and its source', async () => {
    const ended = await mark('--look', ...words);
    expect(ended.code).toBe(0);
    expect(existsSync(at('marks', 'class.json'))).toBe(false);
    const found = rows('came-in.csv');
    expect(found.map(({ path, student }) => [path, student])).toEqual([
      ['204117 again.ipynb', '204117'],
      ['204117.ipynb', '204117'],
      ['300007 again.ipynb', '300007'],
      ['300007.ipynb', '300007'],
      ['300014+300021.ipynb', '300014'],
      ['300014+300021.ipynb (also of 300021)', '300021'],
      ['300021 alone.ipynb', '300021'],
      ['300028.ipynb', '300028'],
    ]);
    expect(found[1]).toMatchObject({
      ...{ sheet: oneSlit, time: '2026-10-20T07:00+00:00', 'time from': 'file' },
      outcome: 'to be marked',
    });
  });

  test('the better return counts, one of the second round up to its cap, and both are kept', async () => {
    const ended = await mark('--believe-times');
    expect(ended.code).toBe(0);
    const half = sheetOf('204117').outOf / 2;
    expect(sheetOf('204117')).toMatchObject({
      ...{ marks: full, counted: half, daysLate: 0, again: { round: 2, most: half } },
    });
    expect(page('204117')).toContain(`in round 2: at most ${half} marks can count, and ${half} do`);
    expect(page('204117')).toContain('Also handed in: 204117.ipynb.');
    expect(sheetOf('300007')).toMatchObject({ counted: full, path: '300007.ipynb' });
    expect(page('300007')).toContain('Also handed in: 300007 again.ipynb.');
    expect(rows('marks.csv')[0].remarks).toContain(`in round 2, at most ${half} count`);
  });

  test('a group’s return is marked for each by the numbers in it, unless one handed in alone', () => {
    expect(sheetOf('300014')).toMatchObject({ counted: full, path: '300014+300021.ipynb' });
    expect(sheetOf('300021').path).toBe('300021 alone.ipynb');
    expect(page('300014')).toContain('Handed in together by 300014, 300021');
  });

  test('and when that one is left out, the group’s is theirs, too', async () => {
    rmSync(at('returns', '300021 alone.ipynb'));
    await mark();
    expect(sheetOf('300021')).toMatchObject({ counted: full, drawnFor: '300014' });
    // Nobody is told to be like themselves.
    expect(JSON.parse(text('class.json')).alike).toEqual([]);
  });

  test('model answers wait until nobody can hand in any more', async () => {
    // Handed in a day after the end of the second round, and so one day late.
    expect(sheetOf('300028').daysLate).toBe(1);
    expect(page('204117')).toContain('A model answer, with your numbers');
    writeFileSync(at('marks', 'extra-days.csv'), `${granted}300007,,366,Abroad\n`);
    const ended = await mark();
    expect(ended.out).toMatch(/Model answers are given from 2027-10-28 12:00 \(UTC\) on/);
    expect(page('204117')).not.toContain('A model answer');
    expect(existsSync(at('marks', 'students', '204117', 'model answers'))).toBe(false);
  });

  test('days granted to a person move the rounds, and those for a sheet are everybody’s', async () => {
    writeFileSync(at('marks', 'extra-days.csv'), granted);
    await mark();
    expect(sheetOf('204117')).toMatchObject({ counted: full, daysLate: 0 });
    expect(sheetOf('204117').again).toBeUndefined();
    expect(sheetOf('300028').daysLate).toBe(0);
  });

  test('model answers have each student’s own numbers, on the page and as a notebook', () => {
    // The first dark line: sin θ = λ / a, in degrees, by the numbers that the student is told.
    for (const student of ['204117', '300007']) {
      const { width, wavelength } = givensFor(keyOf(oneSlit).sheet, student) as Given;
      const degrees = (Math.asin(wavelength / width) * 180) / Math.PI;
      const said = /<p>Expected: ([\d.]+)/.exec(page(student))?.[1];
      expect(Number(said)).toBeCloseTo(degrees, 3);
    }
    const own = readNotebook(text('students', '204117', 'model answers', `${oneSlit}.ipynb`));
    expect(JSON.stringify(own)).toContain('204117');
    const others = text('students', '300021', 'model answers', `${oneSlit}.ipynb`);
    expect(others).toContain('300014');
    expect(page('300007')).toContain('A model answer, with your numbers');
  });

  test('a folder that is suddenly empty changes nothing', async () => {
    const before = text('class.json');
    rmSync(at('returns'), { recursive: true });
    const gone = await mark();
    expect([gone.code, gone.err]).toEqual([1, expect.stringMatching(/returns is not there/)]);
    handIn(at('returns'), 'x', 'x');
    rmSync(at('returns', 'x'));
    const empty = await mark();
    expect([empty.code, empty.err]).toEqual([
      1,
      expect.stringMatching(/is empty, and \d+ files were there .* All marks stand as they were/),
    ]);
    expect(text('class.json')).toBe(before);
  });
});
