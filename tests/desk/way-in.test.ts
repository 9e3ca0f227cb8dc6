import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { layWayIn, removeLeftOver } from '../../kernel-lib/desk/notes-in-folder';
import { type TestDesk, testDesk } from './desk-for-test';

const isWindows = process.platform === 'win32';
let desk: TestDesk;
let folder: string;
beforeAll(async () => {
  desk = await testDesk();
  folder = mkdtempSync(join(tmpdir(), 'way-in-'));
});
afterAll(async () => {
  await desk.end();
  rmSync(folder, { recursive: true, force: true });
});

const raw = (address: string, headers: Record<string, string> = {}) =>
  fetch(address, { redirect: 'manual', headers });

describe('a word in the address', () => {
  test('lets in once, by a cookie that scripts and other sites cannot use', async () => {
    let used = 0;
    const address = desk.once(() => {
      used += 1;
    });
    expect(address).not.toContain(desk.token);
    const first = await raw(address);
    const cookie = first.headers.get('set-cookie') ?? '';
    expect([first.status, used]).toEqual([200, 1]);
    expect(cookie).toMatch(/HttpOnly/);
    expect(cookie).toMatch(/SameSite=Strict/);
    expect(await first.text()).toContain('<meta http-equiv="refresh" content="0;url=/">');
    expect((await raw(`${desk.origin}/`, { Cookie: cookie.split(';')[0] })).status).toBe(200);

    const second = await raw(address);
    expect([second.status, used, second.headers.get('set-cookie')]).toEqual([401, 1, null]);
    expect(await second.text()).toMatch(/used before/);
  });

  test('opens nothing but pages, and no other word does', async () => {
    const { search } = new URL(desk.once(() => {}));
    expect((await raw(`${desk.origin}/desk/sheets${search}`)).status).toBe(401);
    for (const word of ['', 'x', desk.token, `${search.slice(6)}a`])
      expect((await raw(`${desk.origin}/?once=${word}`)).status).toBe(401);
    expect((await raw(`${desk.origin}/${search}`)).status).toBe(200);
  });
});

describe('the page on the disk', () => {
  test('is its owner’s alone, leads to the address, and goes away', () => {
    const way = layWayIn(folder, 'http://127.0.0.1:1/?once=a&b="c"');
    const file = fileURLToPath(way.address);
    expect(way.address).toMatch(/^file:/);
    if (!isWindows) expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(readFileSync(file, 'utf8')).toContain(
      'url=http://127.0.0.1:1/?once=a&amp;b=&quot;c&quot;',
    );
    way.remove();
    expect(existsSync(file)).toBe(false);
  });

  test.skipIf(isWindows)('is never written through a link that lies in its place', () => {
    const other = join(folder, 'other.txt');
    writeFileSync(other, 'mine');
    symlinkSync(other, join(folder, `.open-${process.pid}.html`));
    const way = layWayIn(folder, 'http://127.0.0.1:1/');
    expect(readFileSync(other, 'utf8')).toBe('mine');
    way.remove();
    rmSync(other);
  });

  test('and half-saved files that a desk left behind are removed at the next start, nothing else', () => {
    const gone = 999_999_937;
    const old = [`.open-${gone}.html`, '02-one-slit.ipynb.3141592653', 'student.json.271828182'];
    const kept = [
      `.open-${process.pid}.html`,
      '.open-me.html',
      'copy.ipynb.1',
      'copy.ipynb.20261127',
      'copy.ipynb.2026112714',
      'data.csv.3141592653',
      '3141592653',
      'lines.ipynb',
    ];
    const place = join(folder, 'left over');
    mkdirSync(place);
    const before = new Date(Date.now() - 86_400_000);
    for (const name of [...old, ...kept]) {
      writeFileSync(join(place, name), 'x');
      utimesSync(join(place, name), before, before);
    }
    mkdirSync(join(place, 'folder.ipynb.3141592653'));
    writeFileSync(join(place, 'new.ipynb.3141592653'), 'another desk is saving');
    if (!isWindows) symlinkSync(join(place, 'lines.ipynb'), join(place, 'link.ipynb.3141592653'));
    removeLeftOver(place);
    const left = readdirSync(place).filter((name) => !/^(?:folder|new|link)\./.test(name));
    expect(left.sort()).toEqual([...kept].sort());
    expect(readdirSync(place).length).toBe(kept.length + (isWindows ? 2 : 3));
  });
});
