import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';

const cli = fileURLToPath(new URL('../../.build/cli.cjs', import.meta.url));
const home = mkdtempSync(join(tmpdir(), 'multislit-open-'));
afterAll(() => rmSync(home, { recursive: true, force: true }));

/** `multislit open …`: what it says, and how it ends. */
function open(...words: string[]) {
  const child = spawn(process.execPath, [cli, 'open', '--no-browser', ...words]);
  const said = { out: '', err: '' };
  child.stdout.on('data', (text) => {
    said.out += text;
  });
  child.stderr.on('data', (text) => {
    said.err += text;
  });
  const ended = once(child, 'exit').then(([code]) => code as number | null);
  const address = async () => {
    await expect.poll(() => said.out, { timeout: 15_000 }).toMatch(/http:\S+\n/);
    return new URL(/http:\S+/.exec(said.out)?.[0] ?? '');
  };
  return { child, said, ended, address };
}

test('prints where the files lie and the address, keeps the student number, and ends with its kernels on Ctrl-C', async () => {
  const folder = join(home, 'made', 'on need');
  const { child, said, ended, address } = open(folder, '--port', '0', '--student', '204117');
  const { origin, searchParams } = await address();
  expect(said.out).toContain(`Your worksheets are kept in ${folder}`);
  expect(JSON.parse(readFileSync(join(folder, 'student.json'), 'utf8'))).toEqual({
    student: '204117',
  });
  const headers = { Authorization: `token ${searchParams.get('token')}` };
  const started = await fetch(`${origin}/api/kernels`, { method: 'POST', headers });
  expect(started.status).toBe(201);
  const kernels = childrenOf(child.pid ?? 0);
  if (process.platform === 'linux') expect(kernels.length).toBeGreaterThan(0);
  child.kill('SIGINT');
  expect(await ended).toBe(process.platform === 'win32' ? null : 0);
  await expect(fetch(origin)).rejects.toThrow();
  for (const kernel of kernels) expect(() => process.kill(kernel, 0)).toThrow('ESRCH');
}, 40_000);

/** Processes that this one started (Linux; elsewhere nothing is looked up). */
function childrenOf(pid: number): number[] {
  const file = `/proc/${pid}/task/${pid}/children`;
  if (!existsSync(file)) return [];
  return readFileSync(file, 'utf8').split(' ').filter(Boolean).map(Number);
}

test('a port in use: one sentence and an exit code', async () => {
  const other = createServer();
  await new Promise<void>((done) => other.listen(0, '127.0.0.1', done));
  const { port } = other.address() as { port: number };
  const { said, ended } = open(join(home, 'port'), '--port', String(port));
  expect(await ended).toBe(1);
  expect(said.err.trim()).toBe(
    `Port ${port} is in use: choose another with --port, or leave --port out.`,
  );
  other.close();
});

test('a student number that is none, a port that is none, a folder that is a file: one sentence each', async () => {
  const file = join(home, 'file');
  writeFileSync(file, 'mine');
  const cases: [string[], number, string][] = [
    [[join(home, 'a'), '--student', '12 ab'], 1, 'A student number has 4 to 10 digits'],
    [[join(home, 'a'), '--port', 'x'], 2, 'A port is a whole number from 1 to 65535'],
    [[file], 1, `${file} is a file: name a folder to keep the worksheets in.`],
  ];
  for (const [words, code, sentence] of cases) {
    const { said, ended } = open(...words);
    expect(await ended).toBe(code);
    expect(said.err).toContain(sentence);
    expect(said.err).not.toContain('    at ');
  }
  expect(readFileSync(file, 'utf8')).toBe('mine');
  expect(existsSync(join(home, 'a', 'student.json'))).toBe(false);
});

test('a damaged notebook is told of in one line and the desk opens all the same', async () => {
  const folder = mkdtempSync(join(home, 'damaged-'));
  writeFileSync(join(folder, '02-one-slit.ipynb'), '{"cells": [');
  const { child, said, ended, address } = open(folder, '--port', '0');
  await address();
  await expect
    .poll(() => said.err, { timeout: 15_000 })
    .toMatch(/^02-one-slit\.ipynb: The file is not a notebook.*\n/m);
  expect(readFileSync(join(folder, '02-one-slit.ipynb'), 'utf8')).toBe('{"cells": [');
  child.kill('SIGTERM');
  await ended;
}, 30_000);
