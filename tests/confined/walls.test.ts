import { spawn, spawnSync } from 'node:child_process';
import { lstatSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import {
  bubbleArguments,
  createStage,
  lockDown,
  openConfinement,
} from '../../kernel-lib/confined/walls';
import { home } from '../../kernel-lib/kernel/home';
import { needs } from '../needs';

const { path: bwrap, skip } = needs('bwrap');

describe.skipIf(skip)('the name spaces by themselves, without Node’s permission flags', () => {
  let folder: string;
  let server: Server;
  let reached = 0;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'walls-'));
    writeFileSync(join(folder, 'canary.txt'), 'canary');
    server = createServer((socket) => {
      reached += 1;
      socket.destroy();
    });
    await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  });
  afterAll(() => {
    server.close();
    rmSync(folder, { recursive: true });
  });

  /** What a script prints inside. */
  function inside(script: string, program = home): string {
    const args = bubbleArguments([[process.execPath, '/node']], '/here', { program });
    const ended = spawnSync(bwrap, [...args, '/node', '-e', script], {
      encoding: 'utf8',
      env: {},
    });
    return `${ended.stdout}${ended.stderr}`.trim();
  }

  test('no file of the machine is there, and none can be made', () => {
    const files = `const fs = require('fs'); const say = [];
      for (const path of ['${folder}/canary.txt', '${home}/package.json', '/etc/passwd', '/proc/1/environ'])
        try { fs.readFileSync(path); say.push('read ' + path); } catch {}
      for (const path of ['/tmp', '/', '/here', '/usr/lib', '${folder}'])
        try { fs.writeFileSync(path + '/x', '1'); say.push('wrote ' + path); } catch {}
      console.log('tried', say.join());`;
    expect(inside(files)).toBe('tried');
    expect(readdirSync(folder)).toEqual(['canary.txt']);
  });

  test('a program installed among the system’s libraries does not come in with them', () => {
    const program = readdirSync('/usr/lib')
      .map((name) => join('/usr/lib', name))
      .find((path) => lstatSync(path).isDirectory() && readdirSync(path).length > 0) as string;
    const look = `const fs = require('fs'); let wrote = true;
      try { fs.writeFileSync('${program}/x', '1'); } catch { wrote = false; }
      console.log(fs.readdirSync('${program}').length, wrote);`;
    expect(inside(look, program)).toBe('0 false');
    expect(inside(look)).toMatch(/^[1-9]\d* false$/);
  });

  test('nothing on the network is reached, not even this machine', async () => {
    const { port } = server.address() as { port: number };
    const said = inside(
      `require('net').connect(${port}, '127.0.0.1').on('error', (e) => console.log(e.code)).on('connect', () => console.log('reached'));`,
    );
    expect(said).toMatch(/ECONNREFUSED|ENETUNREACH/);
    expect(reached).toBe(0);
    expect(inside('console.log(Object.keys(require("os").networkInterfaces()).join())')).toMatch(
      /^(lo)?$/,
    );
  });

  test('no process outside can be signalled', () => {
    const bystander = spawn(process.execPath, ['-e', 'setInterval(() => {}, 1000)']);
    const said = inside(
      `try { process.kill(${bystander.pid}, 'SIGKILL'); console.log('sent'); } catch (e) { console.log(e.code); }
       try { process.kill(-1, 'SIGKILL'); } catch {}`,
    );
    expect(said).toBe('ESRCH');
    expect([bystander.exitCode, bystander.signalCode]).toEqual([null, null]);
    bystander.kill();
  });

  test('the environment is empty', () => {
    expect(inside('console.log(Object.keys(process.env).join())')).toBe('PWD');
  });
});

describe.skipIf(skip)('a confined child', () => {
  test('is given the library, never a sheet or a key, and starts', async () => {
    const stage = createStage();
    const files = readdirSync(stage.folder, { recursive: true, encoding: 'utf8' });
    expect(files.filter((name) => statSync(join(stage.folder, name)).isFile()).sort()).toEqual([
      '.build/confined.cjs',
      '.build/index.cjs',
      'package.json',
    ]);
    for (const confinement of [await lockDown(stage), await openConfinement(stage)]) {
      const child = confinement.startChild();
      expect(await child.next(30_000)).toEqual({ line: { at: 'ready' } });
      child.kill();
      expect(await child.next(30_000)).toEqual({ none: 'ended' });
    }
    stage.remove();
  });

  test('elsewhere than on Linux it is refused, with what to do', async () => {
    const { platform } = process;
    Object.defineProperty(process, 'platform', { value: 'darwin' });
    const stage = createStage();
    await expect(lockDown(stage)).rejects.toThrow(/this is darwin.*Linux container.*--unconfined/);
    Object.defineProperty(process, 'platform', { value: platform });
    stage.remove();
  });
});
