import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  chownSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { parse } from 'csv-parse/sync';
import { strToU8, zipSync } from 'fflate';
import { beforeAll, describe, expect, test } from 'vitest';
import { built } from '../../kernel-lib/kernel/home';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { needs } from '../needs';
import {
  handIn,
  machineMarks,
  modelReturn,
  oneSlit,
  returnOf,
  withEntries,
} from './class-for-test';
import { markingStage } from './marking-stage';
import { multislit } from './multislit';

const { skip } = needs('bwrap');
const full = machineMarks(oneSlit);
const { at, mark, text, rows, record, marksOf } = markingStage('mark-', '--sheet', oneSlit);
const withRoster = () => mark('--roster', at('roster.csv'));

beforeAll(() => {
  const wrong = {
    '2-1-work': 'const firstDarkLine = (given.wavelength / given.width);',
    '2-2-work': 'const bandWidth = nonsense;',
    '2-9-written': '=cmd A narrow slit makes a **wide** band.',
  };
  handIn(at('returns'), '1001/sheet.ipynb', modelReturn(oneSlit, '1001'));
  const own = {
    '2-1-work':
      "import { readFileSync } from 'node:fs';\nconst firstDarkLine = readFileSync('mine.csv');",
  };
  handIn(at('returns'), 'named by the course system 1002.ipynb', returnOf(oneSlit, '000000', own));
  handIn(at('returns'), 'mine.csv', 'x / mm;signal\n0;1\n');
  const inner = zipSync({
    'deep/s.ipynb': strToU8(writeNotebook(modelReturn(oneSlit, '1003', wrong))),
  });
  handIn(at('returns'), 'group.zip', zipSync({ 'inner.zip': inner }));
  const early = handIn(at('returns'), '1001/first try.ipynb', returnOf(oneSlit, '1001'));
  utimesSync(early, 1e9, 1e9);
  handIn(at('returns'), 'letter.txt', 'I could not do it.');
  handIn(at('returns'), '9999.ipynb', modelReturn(oneSlit, '9999'));
  writeFileSync(at('roster.csv'), 'student,extra days\n1004,\n1003,\n1002,\n1001,\n');
});

describe.skipIf(skip)('multislit mark', () => {
  test('marks a folder as people hand in: nested, zipped, named in any way', async () => {
    const { code, out, err } = await withRoster();
    expect(err.replace(/^\d of 3 returns, .* left$/gm, '').trim()).toBe('');
    expect(code).toBe(0);
    expect(out).toMatch(/^3 returns marked .*1 passed over, 3 not marked; locked down/);
    expect(['1001', '1002', '1003', '1004'].map(marksOf)).toEqual([full, 0, full - 4, undefined]);
  });

  test('the mark book follows the roster and tells who is missing', () => {
    const table = rows('marks.csv');
    expect(table.map(({ student }) => student)).toEqual(['1004', '1003', '1002', '1001']);
    expect(table[0].remarks).toBe(`missing: ${oneSlit}`);
  });

  test('every file is accounted for', () => {
    const table = rows('returns.csv');
    const outcome = Object.fromEntries(table.map(({ path, outcome }) => [path, outcome]));
    expect(outcome).toEqual({
      '1001/first try.ipynb': 'earlier return',
      '1001/sheet.ipynb': 'marked',
      '9999.ipynb': 'unknown student',
      'group.zip/inner.zip/deep/s.ipynb': 'marked',
      'letter.txt': 'not a notebook',
      'mine.csv': 'not a notebook',
      'named by the course system 1002.ipynb': 'marked',
    });
  });

  test('a record says the reason, the value, the slip with its hint, and the line that failed', () => {
    const { questions, cells } = record('1003');
    expect(questions[0]).toMatchObject({ question: '2.1', state: 'not yet', marks: 0 });
    expect(questions[0].slip).toBeTruthy();
    expect(questions[0].shown).toMatch(/°/);
    expect(cells.find(({ id }) => id === '2-2-work')?.error).toMatchObject({
      message: expect.stringMatching(/Cannot find name 'nonsense'/),
      line: 1,
    });
  });

  test('a file of the student’s own is not there, and that is said', () => {
    expect(record('1002').cells[0].error).toMatchObject({
      message: expect.stringMatching(
        /mine\.csv.*While a sheet is marked only files are there that were handed in with it/,
      ),
      line: 2,
    });
  });

  test('marking again runs nothing and changes no file', async () => {
    const before = statSync(at('marks', 'records', oneSlit, '1001.json')).mtimeMs;
    const json = text('class.json');
    const { out } = await mark('--roster', at('roster.csv'), '--jobs', '4');
    expect(out).toMatch(/3 stood from before/);
    expect(statSync(at('marks', 'records', oneSlit, '1001.json')).mtimeMs).toBe(before);
    expect(text('class.json')).toBe(json);
  });

  test('points that a person entered are taken and stay', async () => {
    const file = at('marks', 'written', `${oneSlit}.csv`);
    const table = rows('written', `${oneSlit}.csv`);
    expect(table).toHaveLength(2);
    expect(readFileSync(file, 'utf8')).not.toMatch(/100[13]/);
    const row = table.find(({ answer }) => answer.includes('**wide**'));
    expect(row?.answer).toMatch(/^'=cmd/);
    expect(row?.['mark scheme']).toMatch(/^1\. .* \(1\)\n2\. /);
    const sayOf = () => text('students', '1003.html');
    const isIt = ({ code }: Readonly<Record<string, string>>) => code === row?.code;
    writeFileSync(
      file,
      withEntries(readFileSync(file, 'utf8'), isIt, { remark: 'To be talked over.' }),
    );
    await withRoster();
    expect(marksOf('1003')).toBe(full - 4);
    expect(sayOf()).toMatch(/To be read\. .*<q>To be talked over\.<\/q>.*– of 4/);
    const lines = withEntries(readFileSync(file, 'utf8'), isIt, {
      'line 1': 'x',
      'line 2': 'x',
      'line 3': 'x',
      remark: 'Well said.',
    });
    writeFileSync(file, lines);
    for (let n = 0; n < 2; n++) {
      await withRoster();
      expect(marksOf('1003')).toBe(full - 4 + 3);
      expect(sayOf()).toMatch(/Read and marked by a person\.<ul.*<\/ul><br><q>Well said\.<\/q>/);
      const ticks = sayOf().match(/<b>(?:not )?met<\/b>, \d of \d/g);
      expect(ticks).toEqual([...Array(3).fill('<b>met</b>, 1 of 1'), '<b>not met</b>, 0 of 1']);
      expect(readFileSync(file, 'utf8')).toBe(lines);
    }
  });

  test('points that make no sense are told, and the file stays', async () => {
    const file = at('marks', 'written', `${oneSlit}.csv`);
    const sound = readFileSync(file, 'utf8');
    const before = text('class.json');
    const wrong = withEntries(sound, ({ remark }) => remark !== '', { points: '7' });
    writeFileSync(file, wrong.replace(/\nw/, '\nx'));
    const { code, out, err } = await mark();
    expect(code).toBe(1);
    expect(out).toBe('');
    expect(err).toMatch(
      /written\/02-one-slit\.csv: (?:Line|Row) \d+ .*has "7" as points; a number from 0 to 4/s,
    );
    expect(err).toMatch(/Line 2 has "x.*" as code, which this folder never gave out/);
    expect(readFileSync(file, 'utf8')).toContain(',7,4,');
    expect(text('class.json')).toBe(before);
    writeFileSync(file, sound);
  });

  test('late returns lose what was said', async () => {
    await mark(
      '--roster',
      at('roster.csv'),
      '--deadline',
      '2001-01-01T00:00Z',
      '--late',
      '0.001',
      '--believe-times',
    );
    const late = rows('marks.csv').find(({ student }) => student === '1001');
    expect(late?.remarks).toMatch(/days late/);
    expect(Number(late?.[oneSlit])).toBeLessThan(full);
  });

  test('marks inside the returns, a missing folder, a bad roster are a sentence', async () => {
    const inside = await multislit(['mark', at('returns'), '--to', at('returns', 'marks')]);
    expect([inside.code, inside.err]).toEqual([1, expect.stringContaining('lies inside')]);
    const nowhere = await multislit(['mark', at('nowhere'), '--to', at('x')]);
    expect(nowhere.err).toMatch(/nowhere is not there/);
    writeFileSync(at('bad.csv'), 'name\nx\n');
    const bad = await mark('--roster', at('bad.csv'));
    expect(bad.err).toMatch(/roster .*bad\.csv cannot be used: .*"student"/);
    expect(existsSync(at('x'))).toBe(false);
    expect(readdirSync(at('returns'))).not.toContain('marks');
  });

  test.skipIf(process.getuid?.() !== 0)('an ordinary account marks as root does', async () => {
    chmodSync(at(), 0o755);
    mkdirSync(at('theirs'));
    chownSync(at('theirs'), 65534, 65534);
    const words = ['mark', at('returns'), '--to', at('theirs'), '--sheet', oneSlit, '--jobs', '1'];
    const ended = spawnSync(process.execPath, [built('cli.cjs'), ...words], {
      ...{ uid: 65534, gid: 65534, encoding: 'utf8' },
      env: { PATH: process.env.PATH, HOME: at('theirs') },
    });
    expect(ended.stderr).not.toMatch(/refuses|cannot/);
    expect(ended.status).toBe(0);
    expect(ended.stdout).toMatch(/locked down/);
    const table = parse(readFileSync(at('theirs', 'marks.csv')), { columns: true, bom: true });
    expect(table).toContainEqual(
      expect.objectContaining({ student: '1001', [oneSlit]: String(full) }),
    );
  });

  test('without the means to lock down it refuses, and says what to do', async () => {
    const words = ['mark', at('returns'), '--to', at('marks'), '--sheet', oneSlit];
    const { err, code } = await multislit(words, { env: { PATH: '/nowhere' } });
    expect(code).toBe(1);
    expect(err).toMatch(/needs the program bwrap .*Install it\. .*--unconfined/);
  });
});
