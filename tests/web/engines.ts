import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Readable } from 'node:stream';

import WebSocket from 'ws';
import { launchBrowser } from '../browser/stage';
import { needs, type Part } from '../needs';

/** One tab of one browser, in which a page is opened and asked things. */
export interface Tab {
  goto(address: string): Promise<void>;
  /** Call a function in the page, which sees nothing but what it is given; both ways as JSON. */
  evaluate<Given, Told>(look: (given: Given) => Told | Promise<Told>, given: Given): Promise<Told>;
  /** Press keys, one after the other, as a person does; those in a list are held together. */
  press(...keys: readonly (string | readonly string[])[]): Promise<void>;
  /** A PNG of what can be seen. */
  picture(): Promise<Buffer>;
  close(): Promise<void>;
}

/** A browser engine, and how a tab of it is driven. */
export interface Engine {
  readonly name: 'Chromium' | 'Firefox' | 'WebKit';
  /** Why there is none on this machine. */
  readonly skip: string | false;
  open(): Promise<Tab>;
}

const size = { width: 1280, height: 900 };

/** Keys that are no letters, as WebDriver calls them (https://www.w3.org/TR/webdriver2/, 17.4.2). */
const named: Readonly<Record<string, string>> = {
  Tab: '\uE004',
  Enter: '\uE006',
  Control: '\uE009',
  Escape: '\uE00C',
  End: '\uE010',
};

/** Pressed keys as the actions of WebDriver and WebDriver BiDi, which are the same. */
function keyActions(keys: readonly (string | readonly string[])[]) {
  const actions = keys.flatMap((chord) => {
    const values = [chord].flat().map((key) => named[key] ?? key);
    const press = (type: string) => (value: string) => ({ type, value });
    return [...values.map(press('keyDown')), ...values.reverse().map(press('keyUp'))];
  });
  return [{ type: 'key', id: 'keyboard', actions }];
}

/** As a call: the text of a function that gives JSON, or JSON of what it threw. */
const asJson = (look: unknown, given: unknown) =>
  `Promise.resolve().then(() => (${look})(${JSON.stringify(given) ?? 'undefined'})).then(
    (told) => JSON.stringify({ told }),
    (error) => JSON.stringify({ fault: String(error) + '\\n' + (error && error.stack) }))`;

function told<Told>(json: string): Told {
  const { told, fault } = JSON.parse(json);
  if (fault !== undefined) throw new Error(`In the page: ${fault}`);
  return told;
}

/** Nothing that one of them keeps is wanted afterwards. */
async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = once(child, 'exit');
  child.kill('SIGKILL');
  await gone;
}

/** What a program says until it matches. */
async function said(child: ChildProcess, from: Readable, pattern: RegExp): Promise<string> {
  let all = '';
  return new Promise((done, fail) => {
    from.on('data', (piece: Buffer) => {
      all += piece;
      const match = pattern.exec(all);
      if (match) done(match[1]);
    });
    child.once('error', fail);
    child.once('exit', (code) => fail(new Error(`It ended (${code}) and said: ${all}`)));
  });
}

async function openChromium(): Promise<Tab> {
  const browser = await launchBrowser();
  const page = await browser.newPage({ viewport: size });
  page.setDefaultTimeout(0);
  return {
    goto: async (address) => void (await page.goto(address)),
    evaluate: async (look, given) => told(await page.evaluate<string>(asJson(look, given))),
    async press(...keys) {
      for (const chord of keys) await page.keyboard.press([chord].flat().join('+'));
    },
    picture: () => page.screenshot(),
    close: () => browser.close(),
  };
}

/** Nothing from elsewhere is asked for, and nobody is greeted. */
const preferences = `
user_pref('app.normandy.enabled', false);
user_pref('app.update.enabled', false);
user_pref('browser.shell.checkDefaultBrowser', false);
user_pref('browser.aboutwelcome.enabled', false);
user_pref('datareporting.policy.dataSubmissionEnabled', false);
user_pref('services.settings.server', 'data:,');
user_pref('network.captive-portal-service.enabled', false);
user_pref('network.connectivity-service.enabled', false);
user_pref('dom.disable_open_during_load', true);
`;

/** By WebDriver BiDi (https://www.w3.org/TR/webdriver-bidi/), which Firefox speaks by itself. */
async function openFirefox(): Promise<Tab> {
  const profile = mkdtempSync(join(tmpdir(), 'firefox-'));
  writeFileSync(join(profile, 'user.js'), preferences);
  const words = ['--headless', '--no-remote', '--profile', profile, '--remote-debugging-port', '0'];
  const child = spawn(needs('firefox').path, words, { stdio: ['ignore', 'ignore', 'pipe'] });
  const address = await said(child, child.stderr, /WebDriver BiDi listening on (ws:\S+)/);
  const socket = new WebSocket(`${address}/session`, { maxPayload: 0 });
  await once(socket, 'open');
  const waiting = new Map<number, { done(result: unknown): void; fail(error: Error): void }>();
  socket.on('message', (data) => {
    const { id, result, message } = JSON.parse(String(data));
    const one = waiting.get(id);
    waiting.delete(id);
    if (message === undefined) one?.done(result);
    else one?.fail(new Error(`Firefox: ${message}`));
  });
  const call = <Result>(method: string, params: object): Promise<Result> =>
    new Promise((done, fail) => {
      const id = lastId++;
      waiting.set(id, { done: done as (result: unknown) => void, fail });
      socket.send(JSON.stringify({ id, method, params }));
    });
  let lastId = 1;
  await call('session.new', { capabilities: {} });
  const { contexts } = await call<{ contexts: { context: string }[] }>(
    'browsingContext.getTree',
    {},
  );
  const [{ context }] = contexts;
  await call('browsingContext.setViewport', { context, viewport: size });
  return {
    goto: (url) => call('browsingContext.navigate', { context, url, wait: 'complete' }),
    async evaluate(look, given) {
      const { result } = await call<{ result: { value: string } }>('script.evaluate', {
        expression: asJson(look, given),
        awaitPromise: true,
        target: { context },
      });
      return told(result.value);
    },
    press: (...keys) => call('input.performActions', { context, actions: keyActions(keys) }),
    async picture() {
      const { data } = await call<{ data: string }>('browsingContext.captureScreenshot', {
        context,
      });
      return Buffer.from(data, 'base64');
    },
    async close() {
      socket.terminate();
      await end(child);
      rmSync(profile, { recursive: true, force: true });
    },
  };
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as { port: number };
  server.close();
  return port;
}

/** By WebDriver (https://www.w3.org/TR/webdriver2/), on a screen that nobody sees. */
async function openWebKit(): Promise<Tab> {
  const screen = ['-displayfd', '3', '-screen', '0', '1280x1000x24', '-nolisten', 'tcp'];
  const display = spawn('Xvfb', screen, { stdio: ['ignore', 'ignore', 'ignore', 'pipe'] });
  const number = await said(display, display.stdio[3] as Readable, /(\d+)\n/);
  const port = await freePort();
  const env = { ...process.env, DISPLAY: `:${number}`, LIBGL_ALWAYS_SOFTWARE: '1' };
  const driver = spawn(needs('webkit').path, [`--port=${port}`], { stdio: 'ignore', env });
  driver.unref();

  async function call<Value>(method: string, path: string, body?: object): Promise<Value> {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`, {
      method,
      ...(body && { body: JSON.stringify(body) }),
    });
    const { value } = (await answer.json()) as { value: { error?: string; message?: string } };
    if (value?.error) throw new Error(`WebKit: ${value.error}: ${value.message}`);
    return value as Value;
  }
  for (;;) {
    const status = await call('GET', '/status').catch(() => undefined);
    if (status) break;
    if (driver.exitCode !== null) throw new Error(`WebKitWebDriver ended (${driver.exitCode}).`);
    await new Promise((done) => setTimeout(done, 20));
  }
  const { sessionId } = await call<{ sessionId: string }>('POST', '/session', {
    capabilities: { alwaysMatch: { timeouts: { script: 1_200_000, pageLoad: 1_200_000 } } },
  });
  const at = `/session/${sessionId}`;
  await call('POST', `${at}/window/rect`, size);
  return {
    goto: (url) => call('POST', `${at}/url`, { url }),
    async evaluate(look, given) {
      const script = `const done = arguments[0]; ${asJson(look, given)}.then(done);`;
      return told(await call<string>('POST', `${at}/execute/async`, { script, args: [] }));
    },
    press: (...keys) => call('POST', `${at}/actions`, { actions: keyActions(keys) }),
    picture: async () => Buffer.from(await call<string>('GET', `${at}/screenshot`), 'base64'),
    async close() {
      await call('DELETE', at).catch(() => {});
      await end(driver);
      await end(display);
    },
  };
}

const engine = (name: Engine['name'], part: Part, open: Engine['open']): Engine => ({
  name,
  skip: needs(part).skip,
  open,
});

export const chromium = () => engine('Chromium', 'chromium', openChromium);
export const firefox = () => engine('Firefox', 'firefox', openFirefox);
export const webkit = () => engine('WebKit', 'webkit', openWebKit);
