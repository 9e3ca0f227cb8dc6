import { mkdirSync, symlinkSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { settingsFor } from '../../kernel-lib/marker/settings';
import { needs } from '../needs';
import { handIn, machineMarks, modelReturn, oneSlit, returnOf } from './class-for-test';
import { markingStage } from './marking-stage';
import { multislit } from './multislit';

const { skip } = needs('bwrap');
const full = machineMarks(oneSlit);
const due = Date.parse('2026-11-21T00:00+01:00');

const { at, mark: run, text, rows } = markingStage('mark-settings-');
const marks = () => rows('marks.csv').map((row) => Number(row[oneSlit]));
const settings = () => JSON.parse(text('settings.json'));
/** Files of these students, saved so many hours after the end of the day. */
const saved = (hours: Record<string, number>) => {
  for (const [student, hour] of Object.entries(hours)) {
    const seconds = due / 1000 + 3600 * hour;
    utimesSync(at('returns', `${student}.ipynb`), seconds, seconds);
  }
};
const spread = { 1001: -4, 1002: 2, 1003: 30, 1004: -50 };
const tenths = (...shares: number[]) => shares.map((share) => Math.round(10 * share * full) / 10);

beforeAll(async () => {
  for (const student of ['1001', '1002', '1003', '1004'])
    handIn(at('returns'), `${student}.ipynb`, modelReturn(oneSlit, student));
  saved(spread);
  handIn(at('returns'), '1005 sheet.docx', '{\\rtf1 My answers}');
  const blank = returnOf(oneSlit, '1006');
  const note = {
    id: 'mine',
    cell_type: 'markdown' as const,
    metadata: {},
    source: 'Both are wrong.',
  };
  handIn(at('returns'), '1006.ipynb', { ...blank, cells: [...blank.cells, note] });
  saved({ 1006: -9 });
  writeFileSync(at('roster.csv'), 'student\n1001\n1002\n1003\n1004\n1005\n1006\n');
  mkdirSync(at('optics'));
  const facts = {
    course: 'Optics II',
    deadline: '2026-11-20',
    zone: 'Europe/Berlin',
    sheets: [oneSlit],
  };
  writeFileSync(at('optics', 'hand-out.json'), JSON.stringify(facts));
  symlinkSync(at('returns'), at('link'));
});

describe.skipIf(skip)('settings of marking', () => {
  test('the hand-out says sheets and deadline; its day ends at midnight in its zone', async () => {
    const words = ['--hand-out', at('optics'), '--roster', at('roster.csv'), '--late', '20'];
    const { code, err } = await run(...words);
    expect([code, err.replace(/^\d+ of .*$/gm, '').trim()]).toEqual([0, '']);
    expect(marks()).toEqual([...tenths(1, 0.8, 0.6, 1), 0, 0]);
    expect(settings()).toMatchObject({ deadline: '2026-11-20', zone: 'Europe/Berlin', late: 20 });
    const came = rows('returns.csv').find(({ student }) => student === '1001');
    expect(came).toMatchObject({ time: '2026-11-20T20:00+01:00', 'time from': 'file' });
  });

  test('a student reads in their own page that a file was refused and why', () => {
    const page = text('students', '1005.html');
    expect(page).toMatch(
      /could not be marked.*<code>1005 sheet\.docx<\/code>: It is a text document/s,
    );
  });

  test('a note under a question reaches its reader', () => {
    const [first] = rows('written', `${oneSlit}.csv`).filter(({ answer }) =>
      answer.includes('Both are wrong.'),
    );
    expect(first).toMatchObject({
      question: '2.9',
      answer: '[Note under the question]\nBoth are wrong.',
    });
  });

  test('all is used again and told; nothing moves', async () => {
    const before = text('class.json');
    const { out } = await run();
    expect(out).toMatch(
      /As before: deadline: the end of 2026-11-20 \(Europe\/Berlin, \+01:00\); late: 20 %/,
    );
    expect(out).toMatch(/roster: .*roster\.csv \(6 students\)/);
    expect(text('class.json')).toBe(before);
    expect(rows('changes.csv')).toEqual([]);
  });

  test('a changed one is told, and each mark that moved by it is listed with its cause', async () => {
    const { out } = await run('--late', '50');
    expect(out).toMatch(/Changed since the last run: late: 20 % .* → 50 %/);
    expect(marks()).toEqual([...tenths(1, 0.5, 0, 1), 0, 0]);
    expect(rows('changes.csv').map(({ when, ...row }) => row)).toEqual(
      ['1002', '1003'].map((student, i) => ({
        ...{ student, sheet: oneSlit, question: 'after deduction', cause: 'settings', why: '' },
        ...{ before: String(tenths(0.8, 0.6)[i]), now: String(tenths(0.5, 0)[i]) },
      })),
    );
  });

  test('a fresh download is told and costs nothing until it is believed, or a table tells more', async () => {
    saved({ 1001: 60, 1002: 60, 1003: 60, 1004: 60 });
    const held = await run();
    expect(held.out).toMatch(
      /4 returns would be late by a time that is in doubt.*nothing was deducted.*within ten minutes/,
    );
    expect(marks()).toEqual([...tenths(1, 1, 1, 1), 0, 0]);
    expect(text('class.html')).toMatch(/Late by a time that is in doubt/);
    const table = [
      'student,sheet,time',
      `1002,${oneSlit},2026-11-21 02:00`,
      `1003,${oneSlit},2026-11-20 23:59`,
    ];
    writeFileSync(at('times.csv'), `${table.join('\n')}\n`);
    await run('--times', at('times.csv'));
    expect(marks()).toEqual([...tenths(1, 0.5, 1, 1), 0, 0]);
    await run('--times', 'none', '--believe-times');
    expect(marks()).toEqual([...tenths(0, 0, 0, 0), 0, 0]);
    saved(spread);
  });

  test('what moves by a person’s hand says so', async () => {
    const line = `1001,${oneSlit},2.1,0,Copied.`;
    writeFileSync(
      at('marks', 'changed-marks.csv'),
      `student,sheet,question,marks,reason\n${line}\n`,
    );
    await run();
    const last = rows('changes.csv')
      .filter(({ student }) => student === '1001')
      .at(-2);
    expect(last).toMatchObject({ question: '2.1', cause: "a person's hand", why: 'Copied.' });
  });

  test.each(['marks', join('deep', 'er')])(
    '--to %s inside the returns, through a link, is refused',
    async (inside) => {
      const { code, err } = await multislit([
        'mark',
        at('returns'),
        '--to',
        join(at('link'), inside),
      ]);
      expect([code, err]).toEqual([1, expect.stringContaining('lies inside')]);
      const whole = await multislit(['mark', at('link'), '--to', at('returns', inside)]);
      expect([whole.code, whole.err]).toEqual([1, expect.stringContaining('lies inside')]);
    },
  );

  test.each([
    [['--deadline', 'Friday'], 2, /a day and time such as/],
    [['--zone', 'Nowhere'], 2, /name of a time zone/],
    [['--time-in-names', 'hh:mm'], 2, /no pattern for times/],
    [['--times', 'nowhere.csv'], 1, /table of times nowhere\.csv cannot be used/],
    [['--hand-out', 'nowhere'], 1, /nowhere is not there; a hand-out's folder or zip/],
  ])('%j is refused, and nothing is kept of it', async (words, code, sentence) => {
    const before = text('settings.json');
    const ended = await run(...words);
    expect([ended.code, ended.err]).toEqual([code, expect.stringMatching(sentence)]);
    expect(text('settings.json')).toBe(before);
  });
});

test('days late that cost something, and no deadline to count them from, are told', () => {
  const words = { to: at('none yet'), jobs: 1, cellSeconds: 1, sheetSeconds: 1 };
  const toldOf = (more: object) => settingsFor({ ...words, ...more }, 'UTC').told.join('\n');
  expect(toldOf({ late: 20 })).toMatch(/no deadline .*nothing is deducted/);
  expect(toldOf({ late: 20, deadline: '2026-12-04' })).not.toMatch(/no deadline/);
  expect(toldOf({})).toBe('');
});
