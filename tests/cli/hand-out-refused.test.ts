import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { handOutFiles, leaksOf } from '../../kernel-lib/cli/hand-out-files';
import { readFacts } from '../../kernel-lib/marker/hand-out-facts';
import { withSources } from '../../kernel-lib/notebook/notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { keyOf, oneSlit, originalOf } from './class-for-test';
import { type HandOut, handOut } from './hand-out-stage';
import { multislit } from './multislit';

let made: HandOut;
beforeAll(async () => {
  made = await handOut();
});
afterAll(() => made.remove());

describe('what it refuses', () => {
  const present = () => readdirSync(made.folder).sort();

  test.each([
    [
      'a folder with something in it',
      ['--to', 'class'],
      /class is not empty, and nothing is written over/,
    ],
    [
      'a sheet that is not there',
      ['--to', 'new', '99-nothing'],
      /no sheet "99-nothing"\. There are: .*02-one-slit/,
    ],
    [
      'a place without its folder',
      ['--to', join('none', 'new')],
      /There is no folder .*none to put/,
    ],
    [
      'a name that a file has',
      ['--to', 'class.zip'],
      /class\.zip is a file; a folder was expected/,
    ],
  ])('%s', async (_, words, sentence) => {
    const there = present();
    const { code, out, err } = await multislit(['hand-out', ...words], { cwd: made.folder });
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(sentence);
    expect(present()).toEqual(there);
  });

  test('a deadline that is none: exit code 2', async () => {
    const words = ['hand-out', '--to', made.at('new'), '--deadline', 'Friday'];
    const { code, err } = await multislit(words);
    expect(code).toBe(2);
    expect(err).toMatch(/a day and time such as 2026-12-04T18:00/);
  });

  test('a deadline that has passed is refused where nobody can be asked', async () => {
    const there = present();
    const words = ['hand-out', '--to', made.at('new'), oneSlit, '--deadline', '2020-02-29'];
    const { code, out, err } = await multislit([...words, '--zone', 'Asia/Kathmandu']);
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(
      /the end of 2020-02-29 \(Asia\/Kathmandu, \+05:45\), has passed already.*--past-deadline/,
    );
    expect(present()).toEqual(there);
  });

  test('one sheet goes alone; a zip that is there already stays', async () => {
    mkdirSync(made.at('empty'));
    const due = ['--deadline', '2099-12-04', '--zone', 'Europe/Berlin', '--course', 'Optics II'];
    const words = ['hand-out', '--to', made.at('empty'), oneSlit, ...due];
    const first = await multislit(words);
    expect([first.code, first.out]).toEqual([
      0,
      expect.stringContaining('Due: the end of 2099-12-04 (Europe/Berlin, +01:00).'),
    ]);
    const facts = { course: 'Optics II', deadline: '2099-12-04', zone: 'Europe/Berlin' };
    for (const place of ['empty', 'empty.zip', join('empty', 'hand-out.json')])
      expect(readFacts(made.at(place))).toEqual({ ...facts, sheets: [oneSlit] });
    const { multislit: told } = JSON.parse(readFileSync(made.at('empty', 'package.json'), 'utf8'));
    expect(told.deadline).toBe('2099-12-04T24:00+01:00');
    expect(readFileSync(made.at('empty', 'README.md'), 'utf8')).toContain(
      'Hand in by **the end of 2099-12-04 (+01:00)**.',
    );
    expect(readdirSync(made.at('empty', '.build', 'worksheets'))).toEqual([oneSlit]);
    const questions = made.at('empty', '.build', 'types', 'questions');
    expect(readdirSync(join(questions, 'givens'))).toEqual([`${oneSlit}.d.ts`]);
    const givens = readFileSync(join(questions, 'sheet-givens.d.ts'), 'utf8');
    expect(givens.match(/'\d\d-[\w-]+'/g)).toEqual([`'${oneSlit}'`]);
    expect(present().filter((name) => name.startsWith('.'))).toEqual([]);
    rmSync(made.at('empty'), { recursive: true });
    const { code, err } = await multislit(words);
    expect(code).toBe(1);
    expect(err).toMatch(/empty\.zip is there already/);
    expect(existsSync(made.at('empty'))).toBe(false);
  });

  test('a model answer left in the notebook, a point of the scheme in the sheet', () => {
    const key = keyOf(oneSlit);
    const files = handOutFiles({ sheets: [oneSlit] });
    expect(leaksOf(key, files)).toEqual([]);
    const [path, code] = ['sheet.ipynb', 'sheet.cjs'].map(
      (file) => `.build/worksheets/${oneSlit}/${file}`,
    );
    const answered = withSources(originalOf(oneSlit), { '2-1-work': key.model['2-1-work'] });
    const point = key.schemes['2.9'][0].point;
    const leaky = new Map(files)
      .set(path, writeNotebook(answered))
      .set(code, `${files.get(code)}\n// ${point}`);
    expect(leaksOf(key, leaky)).toEqual([
      '02-one-slit/sheet.md: cell 2-1-work holds its model answer.',
      `02-one-slit: the sheet holds “${point.slice(0, 60)}” of its key.`,
    ]);
  });
});
