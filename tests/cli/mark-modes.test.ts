import { chmodSync, mkdirSync, mkdtempSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { closeFolder } from '../../kernel-lib/marker/mark-returns';
import { handIn, modelReturn, oneSlit } from './class-for-test';
import { markingStage } from './marking-stage';

const modeOf = (path: string) => (statSync(path).mode & 0o7777).toString(8);

// As chmod(1) writes modes: 600 and 700 are the owner's alone.
describe.skipIf(process.platform === 'win32')('what marking writes', () => {
  const { at, mark } = markingStage('modes-', '--sheet', oneSlit, '--unconfined');
  beforeAll(() => {
    handIn(at('returns'), '1001.ipynb', modelReturn(oneSlit, '1001'));
  });

  test('is for nobody else: marks, codes, records, pages and notebooks', async () => {
    const to = at('marks');
    mkdirSync(to);
    chmodSync(to, 0o755);
    const json = at('class.json');
    const ended = await mark('--json', json);
    expect([ended.code, ended.err]).toEqual([
      0,
      expect.stringContaining(`${to} was open to other`),
    ]);
    const paths = readdirSync(to, { recursive: true, encoding: 'utf8' }).map((name) =>
      join(to, name),
    );
    expect(paths.map((path) => path.slice(to.length + 1))).toEqual(
      expect.arrayContaining([
        'marks.csv',
        join('written', 'codes.secret'),
        join('records', oneSlit, '1001.json'),
        join('students', '1001', `${oneSlit}.ipynb`),
      ]),
    );
    for (const path of [to, json, ...paths])
      expect([path, modeOf(path)]).toEqual([path, statSync(path).isDirectory() ? '700' : '600']);
  });

  test.each([
    [0o755, 0o700, true],
    [0o777, 0o770, true],
    [0o700, 0o700, false],
    [0o2770, 0o2770, false],
    [0o750, 0o700, true],
  ])('a folder with mode %o has %o afterwards', (before, after, wasOpen) => {
    const place = mkdtempSync(at('one-'));
    chmodSync(place, before);
    expect(closeFolder(place)).toBe(wasOpen);
    expect(statSync(place).mode & 0o7777).toBe(after);
    expect(closeFolder(join(place, 'new'))).toBe(false);
    expect(statSync(join(place, 'new')).mode & 0o777).toBe(0o700);
  });
});
