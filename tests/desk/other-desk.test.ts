import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { chmodSync, existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';

const cli = fileURLToPath(new URL('../../.build/cli.cjs', import.meta.url));
const home = mkdtempSync(join(tmpdir(), 'multislit-two-'));
afterAll(() => rmSync(home, { recursive: true, force: true }));

/** `multislit open …`; resolves once it says how to end it. */
async function open(words: readonly string[], env: Record<string, string> = {}) {
  const child = spawn(process.execPath, [cli, 'open', '--port', '0', ...words], {
    env: { ...process.env, ...env },
  });
  const said = { out: '', err: '' };
  child.stderr.on('data', (text) => {
    said.err += text;
  });
  const ended = once(child, 'exit');
  await new Promise<void>((done, fail) => {
    child.stdout.on('data', (text) => {
      said.out += text;
      if (/Ctrl-C ends/.test(said.out)) done();
    });
    child.once('exit', (code) => fail(new Error(`it ended with ${code}: ${said.err}`)));
  });
  return {
    said,
    async end() {
      child.kill('SIGINT');
      await ended;
    },
  };
}

test('a second desk on one folder says that there is a first, and where', async () => {
  const folder = join(home, 'shared');
  const first = await open([folder, '--no-browser']);
  const port = new URL(/http:\S+/.exec(first.said.out)?.[0] ?? '').port;
  const second = await open([folder, '--no-browser']);
  expect(first.said.out).not.toMatch(/open already/);
  expect(second.said.out).toMatch(new RegExp(`open already, at port ${port} \\(process \\d+\\)`));
  await second.end();
  // The first one's note is its own: a third desk is told of it still.
  const third = await open([folder, '--no-browser']);
  expect(third.said.out).toMatch(new RegExp(`open already, at port ${port}`));
  await third.end();
  await first.end();
  if (process.platform !== 'win32') expect(existsSync(join(folder, '.desk.json'))).toBe(false);
});

test('a note that a killed desk left, or that is damaged, is not believed', async () => {
  const folder = join(home, 'left');
  const first = await open([folder, '--no-browser']);
  await first.end();
  for (const note of ['{"pid":', '{"pid":1,"port":0}', `{"pid":${process.pid},"port":1}`, '[]']) {
    writeFileSync(join(folder, '.desk.json'), note);
    const next = await open([folder, '--no-browser']);
    expect(next.said.out).not.toMatch(/open already/);
    await next.end();
  }
});

// xdg-open is how a Linux desktop is asked; on other systems there is always a browser to be asked.
test.skipIf(process.platform !== 'linux')('where no browser comes up, that is said', async () => {
  const path = join(home, 'bin');
  writeFileSync(join(home, 'xdg-open'), '#!/bin/sh\nexit 3\n');
  chmodSync(join(home, 'xdg-open'), 0o755);
  const nowhere = await open([join(home, 'alone')], { PATH: path });
  await expect
    .poll(() => nowhere.said.out)
    .toMatch(/No browser could be opened: open the address yourself/);
  await nowhere.end();
  const failing = await open([join(home, 'alone')], { PATH: `${home}:${process.env.PATH}` });
  await expect
    .poll(() => failing.said.out)
    .toMatch(/No browser could be opened: open the address yourself/);
  await failing.end();
  expect(readdirSync(join(home, 'alone'))).not.toContain('xdg-open');
});
