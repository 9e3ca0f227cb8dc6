import { spawnSync } from 'node:child_process';
import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const guide = readFileSync(new URL('../../worksheets/README.md', import.meta.url), 'utf8');
const commands = /```\n(mkdir [^\n]*returns\nfind \/home\/[^`]*)```/.exec(guide)?.[1] ?? '';

describe.skipIf(process.platform !== 'linux')('the guide’s commands for collecting', () => {
  let folder: string;
  const at = (...parts: string[]) => join(folder, ...parts);
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'collect-'));
    for (const name of ['s1/optics/inner', 's2', 's3/optics', 'teacher', 'closed'])
      mkdirSync(at('home', name), { recursive: true });
    writeFileSync(at('home', 's1', 'optics', '02-one-slit.ipynb'), 'mine');
    writeFileSync(at('home', 's1', 'optics', 'my own.ipynb'), 'mine too');
    writeFileSync(at('home', 's1', 'optics', 'notes.txt'), 'no notebook');
    writeFileSync(at('home', 's1', 'optics', 'inner', 'old.ipynb'), 'deeper');
    writeFileSync(at('home', 'closed', '02-one-slit.ipynb'), 'secret');
    // A link in the place of the folder, of a notebook; a pipe; a folder by a notebook's name.
    symlinkSync(at('home', 'closed'), at('home', 's2', 'optics'));
    symlinkSync(at('home', 'closed', '02-one-slit.ipynb'), at('home', 's3', 'optics', 'a.ipynb'));
    spawnSync('mkfifo', [at('home', 's3', 'optics', 'b.ipynb')]);
    mkdirSync(at('home', 's3', 'optics', 'c.ipynb'));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test('take what students wrote, and follow no link of theirs', () => {
    const script = commands.replaceAll('/home/', `${at('home')}/`);
    const ended = spawnSync('sh', ['-e', '-c', script], {
      cwd: folder,
      encoding: 'utf8',
      timeout: 30_000,
    });
    expect([ended.status, ended.stderr]).toEqual([0, '']);
    const copied = readdirSync(at('returns'), { recursive: true, encoding: 'utf8' })
      .filter((name) => !statSync(at('returns', name)).isDirectory())
      .map((name) => readFileSync(at('returns', name), 'utf8'));
    expect(copied.sort()).toEqual(['mine', 'mine too']);
    expect(statSync(at('returns')).mode & 0o777).toBe(0o700);
  });
});
