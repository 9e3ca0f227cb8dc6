import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:net';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { leaveNote, otherDesk } from '../../kernel-lib/desk/notes-in-folder';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { smallSheet, type TestDesk, testDesk } from './desk-for-test';

/** Names of files that are no ordinary ones, with what the desk says of each where it must be named. */
const odd: [string, RegExp][] = [
  ['pipe.ipynb', /^pipe\.ipynb is no ordinary file\.$/],
  ['socket.ipynb', /^socket\.ipynb is no ordinary file\.$/],
  ['folder.ipynb', /^folder\.ipynb is a folder/],
  ['nowhere.ipynb', /leads nowhere/],
  ['circle.ipynb', /leads to itself/],
  ['out.ipynb', /leads out of the work folder/],
  ['device.ipynb', /leads out of the work folder/],
];

describe.skipIf(process.platform === 'win32')('a work folder with odd files', () => {
  let desk: TestDesk;
  let server: Server;
  beforeAll(async () => {
    desk = await testDesk();
    const at = (name: string) => join(desk.folder, name);
    const outside = join(dirname(desk.folder), 'outside');
    mkdirSync(outside);
    writeFileSync(join(outside, 'secret.ipynb'), writeNotebook(smallSheet));
    writeFileSync(at('plain.ipynb'), writeNotebook(smallSheet));
    spawnSync('mkfifo', [at('pipe.ipynb')]);
    server = createServer();
    await new Promise<void>((done) => server.listen(at('socket.ipynb'), done));
    mkdirSync(at('folder.ipynb'));
    mkdirSync(at('inner'));
    symlinkSync('missing', at('nowhere.ipynb'));
    symlinkSync('circle.ipynb', at('circle.ipynb'));
    symlinkSync(join(outside, 'secret.ipynb'), at('out.ipynb'));
    symlinkSync('/dev/zero', at('device.ipynb'));
    symlinkSync(outside, at('out'));
    symlinkSync('inner', at('in'));
    symlinkSync('plain.ipynb', at('linked.ipynb'));
  });
  afterAll(async () => {
    server.close();
    await desk.end();
  });

  test('lists what it serves: ordinary files and folders, and links to those within', async () => {
    const answer = await desk.ask('/api/contents');
    expect(answer.status).toBe(200);
    const { content } = (await answer.json()) as { content: { name: string; type: string }[] };
    expect(content.map(({ name, type }) => [name, type]).sort()).toEqual([
      ['folder.ipynb', 'directory'],
      ['in', 'directory'],
      ['inner', 'directory'],
      ['linked.ipynb', 'notebook'],
      ['plain.ipynb', 'notebook'],
    ]);
  });

  test('says of each notebook that it cannot open why', async () => {
    const { others } = (await (await desk.ask('/desk/sheets')).json()) as {
      others: { path: string; problem?: string }[];
    };
    const said = new Map(others.map(({ path, problem }) => [path, problem]));
    expect([said.get('plain.ipynb'), said.get('linked.ipynb')]).toEqual([undefined, undefined]);
    for (const [name, sentence] of odd)
      expect([name, said.get(name)]).toEqual([name, expect.stringMatching(sentence)]);
  });

  test('asked for one of them it answers at once, with a sentence', async () => {
    for (const [name] of odd) {
      const answer = await desk.ask(`/api/contents/${name}`);
      const { message, type } = (await answer.json()) as { message?: string; type?: string };
      expect([name, answer.status < 500, message ?? type]).toEqual([
        name,
        true,
        expect.any(String),
      ]);
      expect(JSON.stringify(message ?? '')).not.toContain('Write here');
    }
  });

  test('a pipe or a link in the place of its own note holds no desk up, and is not written through', async () => {
    const folder = join(dirname(desk.folder), 'noted');
    const target = join(dirname(desk.folder), 'target');
    mkdirSync(folder);
    writeFileSync(target, 'mine');
    spawnSync('mkfifo', [join(folder, '.desk.json')]);
    expect(await otherDesk(folder)).toBeUndefined();
    await (await leaveNote(folder, 1))();
    symlinkSync(target, join(folder, '.desk.json'));
    await (await leaveNote(folder, 1))();
    expect(readFileSync(target, 'utf8')).toBe('mine');
  });

  test('a pipe in the place of a sheet, or of the student number, is said', async () => {
    spawnSync('mkfifo', [join(desk.folder, '01-small.ipynb'), join(desk.folder, 'student.json')]);
    const open = await desk.ask('/desk/sheets/01-small/open', { method: 'POST' });
    expect([open.status, await open.json()]).toEqual([
      409,
      { message: expect.stringMatching(/^student\.json is no ordinary file/) },
    ]);
    expect((await desk.ask('/desk/sheets')).status).toBe(409);
  });
});
