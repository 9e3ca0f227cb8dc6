import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { leaveNote, otherDesk } from '../../kernel-lib/desk/notes-in-folder';
import { entry, multislit } from '../cli/multislit';
import { startServer } from '../start-server';

const home = mkdtempSync(join(tmpdir(), 'multislit-open-'));
afterAll(() => rmSync(home, { recursive: true, force: true }));

/** `multislit open …`, once it serves. */
const open = (args: readonly string[], env: Record<string, string> = {}) =>
  startServer([process.execPath, entry, 'open', '--port', '0', ...args], home, env);

/** What stands in for the program that opens browsers; xdg-open is how a Linux desktop is asked. */
function browserProgram(name: string, script: string): string {
  const folder = join(home, name);
  mkdirSync(folder);
  writeFileSync(join(folder, 'xdg-open'), script);
  chmodSync(join(folder, 'xdg-open'), 0o755);
  return `${folder}${delimiter}${process.env.PATH}`;
}
const isLinux = process.platform === 'linux';

/** Processes that this one started (Linux; elsewhere nothing is looked up). */
function childrenOf(pid: number): number[] {
  const file = `/proc/${pid}/task/${pid}/children`;
  return isLinux ? readFileSync(file, 'utf8').split(' ').filter(Boolean).map(Number) : [];
}

test('tells folder, address, damaged notebooks and a second desk; ends with its kernels on Ctrl-C', async () => {
  const folder = join(home, 'made', 'on need');
  const first = await open([folder, '--no-browser', '--student', '204117']);
  expect(first.said).toContain(`Your worksheets are kept in ${folder}`);
  expect(first.said).not.toMatch(/open already/);
  expect(JSON.parse(readFileSync(join(folder, 'student.json'), 'utf8'))).toEqual({
    student: '204117',
  });
  const { origin, port, searchParams } = new URL(first.address);
  const headers = { Authorization: `token ${searchParams.get('token')}` };
  const started = await fetch(`${origin}/api/kernels`, { method: 'POST', headers });
  expect(started.status).toBe(201);
  const kernels = childrenOf(first.pid);
  if (isLinux) expect(kernels.length).toBeGreaterThan(0);

  writeFileSync(join(folder, '02-one-slit.ipynb'), '{"cells": [');
  const second = await open([folder, '--no-browser']);
  expect(second.said).toContain(`open already, at port ${port} (process ${first.pid})`);
  await expect
    .poll(() => second.said)
    .toMatch(/^02-one-slit\.ipynb: The file is not a notebook.*\n/m);
  expect(readFileSync(join(folder, '02-one-slit.ipynb'), 'utf8')).toBe('{"cells": [');
  await second.end();
  // The first one's note is its own, and stays as long as it.
  expect(await otherDesk(folder)).toEqual({ pid: first.pid, port: Number(port) });

  const code = await first.end();
  if (process.platform !== 'win32') expect([code, await otherDesk(folder)]).toEqual([0, undefined]);
  await expect(fetch(origin)).rejects.toThrow();
  for (const kernel of kernels) expect(() => process.kill(kernel, 0)).toThrow('ESRCH');
});

test('a note that a killed desk left, that is damaged, or our own is not believed', async () => {
  const note = join(home, '.desk.json');
  const { pid } = process;
  const gone = 999_999_937;
  const server = createServer().listen(0, '127.0.0.1');
  await new Promise((done) => server.once('listening', done));
  const { port } = server.address() as { port: number };
  for (const text of [
    '{"pid":',
    '{"pid":1,"port":0}',
    '[]',
    '{"pid":1,"port":1}',
    `{"pid":${gone},"port":${port}}`,
  ]) {
    writeFileSync(note, text);
    expect([text, await otherDesk(home)]).toEqual([text, undefined]);
  }
  writeFileSync(note, `{"pid":1,"port":${port}}`);
  expect(await otherDesk(home)).toEqual({ pid: 1, port });
  const takeAway = await leaveNote(home, port);
  expect([JSON.parse(readFileSync(note, 'utf8')), await otherDesk(home)]).toEqual([
    { pid, port },
    undefined,
  ]);
  await takeAway();
  expect(existsSync(note)).toBe(false);
  server.close();
});

test('a port in use, a port or a student number that is none, a folder that is a file: one sentence each', async () => {
  const other = createServer().listen(0, '127.0.0.1');
  await new Promise((done) => other.once('listening', done));
  const { port } = other.address() as { port: number };
  const [file, folder] = [join(home, 'file'), join(home, 'a')];
  writeFileSync(file, 'mine');
  const cases: [string[], number, string][] = [
    [
      [folder, '--port', String(port)],
      1,
      `Port ${port} is in use: choose another with --port, or leave --port out.`,
    ],
    [[folder, '--student', '12 ab'], 1, 'A student number has 4 to 10 digits'],
    [[folder, '--port', 'x'], 2, 'A port is a whole number from 1 to 65535'],
    [[file], 1, `${file} is a file: name a folder to keep the worksheets in.`],
  ];
  for (const [args, code, sentence] of cases) {
    const ended = await multislit(['open', '--no-browser', ...args]);
    expect(ended).toMatchObject({ code, err: expect.stringContaining(sentence) });
    expect(ended.err).not.toContain('    at ');
  }
  expect(readFileSync(file, 'utf8')).toBe('mine');
  expect(existsSync(join(folder, 'student.json'))).toBe(false);
  other.close();
});

test.skipIf(!isLinux)('where no browser comes up, that is said', async () => {
  const nowhere = join(home, 'nothing here');
  for (const path of [nowhere, browserProgram('failing', '#!/bin/sh\nexit 3\n')]) {
    const desk = await open([join(home, 'alone')], { PATH: path });
    await expect
      .poll(() => desk.said)
      .toMatch(/No browser could be opened: open the address yourself/);
    await desk.end();
  }
});

// What is handed to the program that opens browsers any account can read in a list of processes.
test.skipIf(!isLinux)(
  'no program is handed the token, and what it is handed leads in, once',
  async () => {
    const noted = join(home, 'noted.txt');
    const path = browserProgram(
      'noting',
      `#!${process.execPath}\nrequire('fs').appendFileSync(${JSON.stringify(noted)}, process.argv.slice(2).join(' ') + '\\n');\n`,
    );
    const work = join(home, 'my $work');
    const desk = await open([work], { PATH: path });
    await expect.poll(() => existsSync(noted) && readFileSync(noted, 'utf8')).toMatch(/\n/);
    const handed = readFileSync(noted, 'utf8').trim();
    const token = new URL(desk.address).searchParams.get('token') as string;
    expect(handed).toMatch(/^file:\S+\.html$/);
    const page = fileURLToPath(handed);
    const address = /url=([^"]+)"/.exec(readFileSync(page, 'utf8'))?.[1] as string;
    for (const text of [handed, address]) expect(text).not.toContain(token);
    const status = async () => (await fetch(address, { redirect: 'manual' })).status;
    expect(await status()).toBe(200);
    await expect.poll(() => existsSync(page)).toBe(false);
    expect(await status()).toBe(401);
    await desk.end();
    expect(readdirSync(work).filter((name) => name.startsWith('.'))).toEqual([]);
  },
  60_000,
);
