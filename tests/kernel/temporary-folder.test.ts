import { spawnSync } from 'node:child_process';
import {
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  realpathSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest';
import { isOwnFolder, temporaryFolder } from '../../kernel-lib/kernel/temporary-folder';

let place: string;
beforeAll(() => {
  place = realpathSync(mkdtempSync(join(tmpdir(), 'shared-')));
});
beforeEach(() => {
  for (const name of ['TMPDIR', 'TEMP', 'TMP']) vi.stubEnv(name, place);
});
afterEach(() => vi.unstubAllEnvs());
afterAll(() => rmSync(place, { recursive: true, force: true }));

/** The name that a process with this id would have given. */
const nameBy = (pid: number) =>
  basename(temporaryFolder('sample')).replace(`-${process.pid}-`, `-${pid}-`);
/** Of a process that has ended. */
const ended = () => spawnSync(process.execPath, ['-e', '']).pid;

describe('a temporary folder', () => {
  test('lies by its real path in the system’s, and is this account’s alone', () => {
    const folder = temporaryFolder('sample');
    expect(dirname(folder)).toBe(place);
    if (process.platform !== 'win32') expect(statSync(folder).mode & 0o777).toBe(0o700);
  });

  test.skipIf(process.platform === 'win32')('has no link in its path', () => {
    const link = join(place, 'link');
    symlinkSync(place, link);
    vi.stubEnv('TMPDIR', link);
    expect(dirname(temporaryFolder('sample'))).toBe(place);
    rmSync(link);
  });

  test('what a process left that was cut off is removed at the next start, what one has that runs is not', () => {
    const [left, kept] = [ended(), process.ppid].map((pid) => join(place, nameBy(pid)));
    for (const folder of [left, kept]) {
      mkdirSync(join(folder, 'inner'), { recursive: true });
      writeFileSync(join(folder, 'inner', 'file'), 'x');
    }
    temporaryFolder('sample');
    expect([left, kept].map((folder) => existsSync(folder))).toEqual([false, true]);
  });

  test.skipIf(process.platform === 'win32')('no link is followed, and none removed', () => {
    const target = join(place, 'target');
    mkdirSync(target);
    writeFileSync(join(target, 'precious'), 'x');
    const link = join(place, nameBy(ended()));
    symlinkSync(target, link);
    // And one inside a folder that is removed.
    const left = join(place, nameBy(ended()));
    mkdirSync(left);
    symlinkSync(target, join(left, 'inside'));
    temporaryFolder('sample');
    expect(lstatSync(link).isSymbolicLink()).toBe(true);
    expect(existsSync(left)).toBe(false);
    expect(readdirSync(target)).toEqual(['precious']);
    rmSync(link);
  });

  test('other names stay, whatever they look like', () => {
    const pid = ended();
    const names = [
      `multislit-sample-00000000-${pid}-abcdef`,
      `multislit-marking-${pid}-abcdef`,
      `multislit-sample-${pid}`,
      'multislit-work',
    ];
    for (const name of names) mkdirSync(join(place, name));
    temporaryFolder('sample');
    expect(names.filter((name) => existsSync(join(place, name)))).toEqual(names);
  });

  test.skipIf(process.getuid === undefined)('another account’s folder is not this one’s', () => {
    const info = lstatSync(place);
    expect(isOwnFolder(info)).toBe(true);
    expect(isOwnFolder(info, info.uid + 1)).toBe(false);
    expect(isOwnFolder(undefined)).toBe(false);
  });
});
