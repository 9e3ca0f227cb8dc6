import { request } from 'node:http';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { WebSocket } from 'ws';
import { type TestDesk, testDesk } from './desk-for-test';

let desk: TestDesk;
let cookie: string;

beforeAll(async () => {
  desk = await testDesk();
  const answer = await fetch(desk.address, { redirect: 'manual' });
  cookie = (answer.headers.get('set-cookie') ?? '').split(';')[0];
});
afterAll(() => desk.end());

/** Raw, since fetch does not let Host be set. */
function status(path: string, headers: Record<string, string>, method = 'GET'): Promise<number> {
  return new Promise((done, fail) => {
    const asked = request(
      { host: '127.0.0.1', port: desk.port, path, method, headers },
      (answer) => {
        answer.resume();
        done(answer.statusCode ?? 0);
      },
    );
    asked.on('error', fail);
    asked.end();
  });
}

/** 'open', or the status with which the upgrade was refused. */
function socket(headers: Record<string, string>): Promise<string> {
  const place = `ws://127.0.0.1:${desk.port}/api/kernels/none/channels`;
  return new Promise((done) => {
    const ws = new WebSocket(place, { headers });
    ws.on('open', () => done('open'));
    ws.on('unexpected-response', (_, answer) => done(String(answer.statusCode)));
    ws.on('error', (error) => done(error.message));
  });
}

test('the token in the address becomes a cookie that scripts and other sites cannot use', async () => {
  const answer = await fetch(desk.address, { redirect: 'manual' });
  expect(answer.status).toBe(303);
  expect(answer.headers.get('location')).toBe('/');
  const set = answer.headers.get('set-cookie') ?? '';
  expect(set).toContain('HttpOnly');
  expect(set).toContain('SameSite=Strict');
});

test('without the token nothing is answered, with it the page is', async () => {
  for (const path of [
    '/',
    '/sheet/a.ipynb',
    '/page/app.js',
    '/desk/sheets',
    '/api/contents',
    '/api/kernels',
  ])
    expect([path, await status(path, {})]).toEqual([path, 401]);
  expect(await status('/?token=wrong', {})).toBe(401);
  expect(await status('/', { Cookie: cookie })).toBe(200);
  expect(await status('/page/app.js', { Cookie: cookie })).toBe(200);
});

test('a name that was pointed at this computer gets nothing', async () => {
  for (const Host of [
    'evil.example',
    `evil.example:${desk.port}`,
    '127.0.0.1:1',
    `127.0.0.1.evil.example:${desk.port}`,
  ])
    expect([Host, await status('/', { Cookie: cookie, Host })]).toEqual([Host, 403]);
  expect(await status('/', { Cookie: cookie, Host: `localhost:${desk.port}` })).toBe(200);
});

test('a page of another origin, another port of this computer included, gets nothing', async () => {
  for (const Origin of [
    'https://evil.example',
    'http://127.0.0.1:1',
    'null',
    `http://localhost:${desk.port}`,
  ])
    expect([Origin, await status('/desk/sheets', { Cookie: cookie, Origin })]).toEqual([
      Origin,
      403,
    ]);
  expect(await status('/desk/sheets', { Cookie: cookie, Origin: desk.origin })).toBe(200);
});

test('with the cookie alone, what changes something must say its origin', async () => {
  expect(await status('/api/kernels', { Cookie: cookie }, 'POST')).toBe(403);
  expect(await status('/desk/sheets/none/open', { Cookie: cookie }, 'POST')).toBe(403);
  expect(
    await status('/desk/sheets/none/open', { Cookie: cookie, Origin: desk.origin }, 'POST'),
  ).toBe(404);
});

test('the same holds for WebSockets', async () => {
  expect(await socket({})).toBe('401');
  expect(await socket({ Cookie: cookie })).toBe('403');
  expect(await socket({ Cookie: cookie, Origin: 'https://evil.example' })).toBe('403');
  expect(await socket({ Cookie: cookie, Origin: desk.origin })).toBe('404');
});

test('every answer carries the headers that keep scripts, frames and other sites out', async () => {
  const answer = await desk.ask('/');
  const policy = answer.headers.get('content-security-policy') ?? '';
  expect(policy).toContain("default-src 'none'");
  expect(policy).toMatch(/script-src 'self'(;|$)/);
  expect(policy).toContain("frame-ancestors 'none'");
  expect(answer.headers.get('x-content-type-options')).toBe('nosniff');
  const nonce = /data-nonce="([^"]+)"/.exec(await answer.text())?.[1];
  expect(policy).toContain(`'nonce-${nonce}'`);
  const again = await desk.ask('/');
  expect(again.headers.get('content-security-policy')).not.toContain(`'nonce-${nonce}'`);
});
