import { readdirSync } from 'node:fs';
import { type IncomingHttpHeaders, type IncomingMessage, request } from 'node:http';
import { afterAll, beforeAll, describe, expect, onTestFinished, test, vi } from 'vitest';
import { WebSocket } from 'ws';
import { built } from '../../kernel-lib/kernel/home';
import { smallSheet, type TestDesk, testDesk } from './desk-for-test';

// Whatever the desk answers, and to whom: the headers that keep scripts, frames and other sites out are there. What they
// mean: Content Security Policy Level 3 (https://www.w3.org/TR/CSP3/).

const page = built('page');
const assets = readdirSync(page, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.isFile())
  .map((entry) => `${entry.parentPath.slice(page.length)}/${entry.name}`.replaceAll('\\', '/'));

let desk: TestDesk;
beforeAll(async () => {
  desk = await testDesk(page);
});
afterAll(() => desk.end());

interface Answer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly text: string;
}

interface Asked {
  readonly method?: string;
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: string;
  /** Without the word that lets in. */
  readonly stranger?: boolean;
}

async function whole(answer: IncomingMessage): Promise<Answer> {
  let text = '';
  for await (const piece of answer) text += piece;
  return { status: answer.statusCode ?? 0, headers: answer.headers, text };
}

/** Raw, so that paths and Host stay as they are given. */
function ask(
  path: string,
  { method = 'GET', headers, body, stranger }: Asked = {},
): Promise<Answer> {
  const own = stranger ? {} : { Authorization: `token ${desk.token}` };
  const place = { host: '127.0.0.1', port: desk.port, path, method };
  return new Promise((done, fail) => {
    const asked = request({ ...place, headers: { ...own, ...headers } }, (answer) =>
      done(whole(answer)),
    );
    asked.on('error', fail);
    asked.end(body);
  });
}

/** How a WebSocket is refused. */
function refused(path: string, headers: Record<string, string>): Promise<Answer> {
  const ws = new WebSocket(`ws://127.0.0.1:${desk.port}${path}`, { headers });
  return new Promise((done, fail) => {
    ws.on('open', () => fail(new Error('It was let in.')));
    ws.on('unexpected-response', (_, answer) => done(whole(answer)));
    ws.on('error', () => {});
  });
}

function policyOf({ headers }: Answer): Readonly<Record<string, string>> {
  const parts = String(headers['content-security-policy'] ?? '').split(';');
  return Object.fromEntries(
    parts.map((part) => {
      const [name, ...sources] = part.trim().split(' ');
      return [name, sources.join(' ')];
    }),
  );
}

function guarded(what: string, answer: Answer): void {
  const policy = policyOf(answer);
  expect([what, policy]).toEqual([
    what,
    expect.objectContaining({
      'default-src': "'none'",
      'script-src': "'self'",
      'base-uri': "'none'",
      'form-action': "'none'",
      'frame-ancestors': "'none'",
    }),
  ]);
  expect(policy['style-src']).toMatch(/^'self' 'nonce-[\w+/=]{20,}'$/);
  const all = Object.values(policy).join(' ');
  expect(all).not.toMatch(/unsafe-eval|https?:|\*|strict-dynamic/);
  expect([what, answer.headers]).toEqual([
    what,
    expect.objectContaining({
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cross-origin-resource-policy': 'same-origin',
      'cross-origin-opener-policy': 'same-origin',
      'cache-control': expect.stringMatching(/^(no-store|no-cache|max-age=31536000, immutable)$/),
    }),
  ]);
  if (!String(answer.headers['content-type']).includes('html')) return;
  const scripts = answer.text.match(/<script(?![^>]* src="\/page\/[\w-]+\.js"[^>]*><\/script>)/g);
  expect([what, scripts]).toEqual([what, null]);
  expect(answer.text).not.toMatch(/<style|\son\w+\s*=|javascript:/i);
  expect(answer.text).not.toMatch(/(?:src|href)="(?:https?:)?\/\//);
}

const html = { Accept: 'text/html' };

describe('the headers are there', () => {
  test('on every file of the page, which holds no script and no style of its own', async () => {
    expect(assets.length).toBeGreaterThan(20);
    for (const path of assets) {
      const answer = await ask(`/page${path}`);
      expect([path, answer.status]).toEqual([path, 200]);
      guarded(path, answer);
    }
    for (const path of ['/', '/bench', '/help', '/sheet/01-small.ipynb']) {
      const answer = await ask(path);
      expect([path, answer.status]).toEqual([path, 200]);
      expect(answer.headers['content-type']).toContain('text/html');
      expect(answer.text).not.toMatch(/\sstyle\s*=/);
      guarded(path, answer);
    }
  });

  const anew = { 'If-None-Match': '*' };
  const small = JSON.stringify({ type: 'notebook', format: 'json', content: smallSheet });
  const large = 'x'.repeat(70_000);
  test.each<[number, string, Asked?]>([
    [200, '/desk/alive'],
    [200, '/desk/sheets'],
    [200, '/desk/sheets', { method: 'HEAD' }],
    [200, '/desk/student', { method: 'PUT', body: '{"student":"204117"}' }],
    [400, '/desk/student', { method: 'PUT', body: '{"student":"x"}' }],
    [400, '/desk/student', { method: 'PUT', body: 'no JSON' }],
    [413, '/desk/student', { method: 'PUT', body: large }],
    [200, '/desk/sheets/01-small/open', { method: 'POST' }],
    [404, '/desk/sheets/unheard-of/open', { method: 'POST' }],
    [200, '/api/contents'],
    [200, '/api/contents/01-small.ipynb'],
    [404, '/api/contents/unheard-of.ipynb'],
    [403, '/api/contents/..%2f..%2fpasswd'],
    [400, '/api/contents/01-small.ipynb', { method: 'PUT', body: '{"type":"notebook"}' }],
    [409, '/api/contents/01-small.ipynb', { method: 'PUT', headers: anew, body: small }],
    [200, '/api/kernelspecs'],
    [200, '/api/kernels'],
    [200, '/api/sessions'],
    [400, '/api/sessions', { method: 'POST', body: '{}' }],
    [413, '/api/sessions', { method: 'POST', body: large }],
    [404, '/api/kernels/none'],
    [404, '/api/kernels/none', { method: 'DELETE' }],
    [404, '/api/kernels/none/interrupt', { method: 'POST' }],
    [404, '/api/kernels/none/channels'],
    [404, '/page/unheard-of.js'],
    [403, '/page/..%2f..%2fcli.cjs'],
    [404, '/unheard-of'],
    [404, '/unheard-of', { headers: html }],
    [404, '/', { method: 'POST' }],
    [404, '/', { method: 'OPTIONS' }],
    [404, '/', { method: 'PROPFIND' }],
    [401, '/', { stranger: true, headers: html }],
    [401, '/?token=wrong', { stranger: true }],
    [401, '/?once=wrong', { stranger: true, headers: html }],
    [401, '/page/app.js', { stranger: true }],
    [401, '/unheard-of', { stranger: true }],
    [403, '/', { headers: { Host: 'elsewhere.invalid', ...html } }],
    [403, '/desk/sheets', { headers: { Origin: 'https://elsewhere.invalid' } }],
  ])('on %i of %s %o', async (status, path, asked) => {
    const answer = await ask(path, asked);
    expect([path, answer.status]).toEqual([path, status]);
    guarded(path, answer);
  });

  test('on both ways in', async () => {
    const byWord = await ask(new URL(desk.address).search.replace('?', '/?'), { stranger: true });
    expect(byWord.status).toBe(303);
    guarded('the word', byWord);
    const { pathname, search } = new URL(desk.once(() => {}));
    const once = await ask(pathname + search, { stranger: true, headers: html });
    expect([once.status, once.text]).toEqual([
      200,
      expect.stringContaining('http-equiv="refresh"'),
    ]);
    guarded('the word that works once', once);
  });

  test('on a WebSocket that is refused', async () => {
    const known = { Authorization: `token ${desk.token}` };
    for (const [status, headers] of [
      [401, {}],
      [403, { ...known, Origin: 'https://elsewhere.invalid' }],
      [404, known],
    ] as [number, Record<string, string>][]) {
      const answer = await refused('/api/kernels/none/channels', headers);
      expect(answer.status).toBe(status);
      guarded(`a socket, ${status}`, answer);
    }
  });

  test('on what fails in the desk itself', async () => {
    vi.spyOn(desk.sheets, 'list').mockRejectedValue(new Error('It broke.'));
    vi.spyOn(console, 'error').mockImplementation(() => {});
    onTestFinished(() => void vi.restoreAllMocks());
    const answer = await ask('/desk/sheets');
    expect(answer.status).toBe(500);
    guarded('a fault', answer);
  });
});
