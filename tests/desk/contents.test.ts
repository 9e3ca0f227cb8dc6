import { mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { request as httpRequest, type IncomingMessage } from 'node:http';
import { join } from 'node:path';
import { text } from 'node:stream/consumers';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { largestSave } from '../../kernel-lib/desk/contents';
import { smallSheet, type TestDesk, testDesk } from './desk-for-test';

let desk: TestDesk;
beforeAll(async () => {
  desk = await testDesk();
});
afterAll(() => desk.end());

const put = (path: string, content: unknown, headers: Record<string, string> = {}) =>
  desk.ask(`/api/contents/${path}`, {
    method: 'PUT',
    headers: { 'Content-Type': 'application/json', ...headers },
    body: JSON.stringify({ type: 'notebook', format: 'json', content }),
  });
const withTitle = (title: string) => ({
  ...smallSheet,
  cells: smallSheet.cells.map((cell) => (cell.id === 'title' ? { ...cell, source: title } : cell)),
});
const message = async (answer: Response) => ((await answer.json()) as { message: string }).message;

test('a notebook saved is read back, and listed', async () => {
  expect((await put('a.ipynb', withTitle('# Ä'))).status).toBe(201);
  const read = await (await desk.ask('/api/contents/a.ipynb')).json();
  expect(read).toMatchObject({ name: 'a.ipynb', type: 'notebook', format: 'json' });
  expect([read.content.cells[0].source].flat().join('')).toBe('# Ä');
  const list = await (await desk.ask('/api/contents')).json();
  expect(list.content.map(({ name }: { name: string }) => name)).toContain('a.ipynb');
});

test('of two saves that build on the same version the second is refused and the file left alone', async () => {
  await put('b.ipynb', withTitle('# first'));
  const { hash } = await (await desk.ask('/api/contents/b.ipynb?content=0')).json();
  const saves = ['# one', '# two', '# three'].map((title) =>
    put('b.ipynb', withTitle(title), { 'If-Match': `"${hash}"` }),
  );
  const states = (await Promise.all(saves)).map(({ status }) => status);
  expect(states.sort()).toEqual([200, 409, 409]);
  const text = readFileSync(join(desk.folder, 'b.ipynb'), 'utf8');
  const late = await put('b.ipynb', withTitle('# late'), { 'If-Match': `"${hash}"` });
  expect(late.status).toBe(409);
  expect(await message(late)).toBe('b.ipynb was changed somewhere else since this page read it.');
  expect(readFileSync(join(desk.folder, 'b.ipynb'), 'utf8')).toBe(text);
});

test('a save that wants a new file never overwrites one', async () => {
  await put('c.ipynb', withTitle('# there'));
  expect((await put('c.ipynb', withTitle('# new'), { 'If-None-Match': '*' })).status).toBe(409);
});

test('a file that is gone meanwhile is said to be gone', async () => {
  const answer = await put('gone.ipynb', smallSheet, { 'If-Match': '"0"' });
  expect(answer.status).toBe(409);
  expect(await message(answer)).toContain('moved or deleted');
});

test('paths that leave the folder, by dots, by links or by hidden names, are refused', async () => {
  const outside = join(desk.folder, '..', 'outside');
  mkdirSync(outside);
  writeFileSync(join(outside, 'secret.ipynb'), 'secret');
  symlinkSync(outside, join(desk.folder, 'link'), 'junction');
  for (const path of [
    '..%2foutside%2fsecret.ipynb',
    '%2e%2e/outside/secret.ipynb',
    'link/secret.ipynb',
    'link/new.ipynb',
    '.hidden.ipynb',
    'x%5c..%5cy.ipynb',
    'c%3ax.ipynb',
    'a%00.ipynb',
  ]) {
    const read = await desk.ask(`/api/contents/${path}`);
    const write = await put(path, smallSheet);
    expect([path, [403, 404].includes(read.status), [403, 404].includes(write.status)]).toEqual([
      path,
      true,
      true,
    ]);
  }
  expect(readdirSync(outside)).toEqual(['secret.ipynb']);
});

test('what is no notebook is neither read nor saved as one, and the file stays as it is', async () => {
  writeFileSync(join(desk.folder, 'bad.ipynb'), '{"cells": [');
  const read = await desk.ask('/api/contents/bad.ipynb');
  expect(read.status).toBe(400);
  expect(await message(read)).toMatch(/^bad\.ipynb: The file is not a notebook/);
  expect((await put('a.ipynb', { cells: 'none' })).status).toBe(400);
  expect(readFileSync(join(desk.folder, 'bad.ipynb'), 'utf8')).toBe('{"cells": [');
});

test('a body beyond the limit is refused with a sentence, however slowly it is sent', async () => {
  const pieces = 8;
  const piece = Buffer.alloc(largestSave / pieces + 1, 'x');
  const request = httpRequest(`${desk.origin}/api/contents/big.ipynb`, {
    method: 'PUT',
    headers: { Authorization: `token ${desk.token}`, 'Content-Length': pieces * piece.length },
  });
  const lost: Error[] = [];
  request.on('error', (error) => lost.push(error));
  const answered = new Promise<IncomingMessage>((done) => request.once('response', done));
  for (let i = 0; i < pieces; i++) {
    await new Promise((done) => request.write(piece, done));
    await new Promise((done) => setTimeout(done, 100));
  }
  request.end();
  const answer = await answered;
  expect(answer.statusCode).toBe(413);
  expect(JSON.parse(await text(answer)).message).toContain('too large');
  expect(lost).toEqual([]);
});

test('saves leave no half-written files behind', () => {
  expect(readdirSync(desk.folder).filter((name) => !/\.(ipynb|json)$|^link$/.test(name))).toEqual(
    [],
  );
});

test('bytes go in and out as base64, a new file never takes the place of another', async () => {
  const bytes = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 255, 254, 13, 10]);
  const keep = (content: string) =>
    desk.ask('/api/contents/photograph-1.png', {
      method: 'PUT',
      headers: { 'Content-Type': 'application/json', 'If-None-Match': '*' },
      body: JSON.stringify({ type: 'file', format: 'base64', content }),
    });
  const wrong = await keep('no base64!');
  expect(wrong.status).toBe(400);
  expect(await message(wrong)).toContain('is no base64: nothing was saved');
  expect((await keep(bytes.toString('base64'))).status).toBe(201);
  expect(readFileSync(join(desk.folder, 'photograph-1.png')).equals(bytes)).toBe(true);
  expect((await keep('AAAA')).status).toBe(409);
  const read = await (await desk.ask('/api/contents/photograph-1.png?format=base64')).json();
  expect(read).toMatchObject({ type: 'file', format: 'base64', size: bytes.length });
  expect(Buffer.from(read.content, 'base64').equals(bytes)).toBe(true);
});
