import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { DeskProcess, launchBrowser, newPage, openSheet, saved, skip, type } from './stage';

const folder = mkdtempSync(join(tmpdir(), 'multislit-small-disk-'));
const mount = (...words: string[]) => spawnSync('mount', [...words, folder]).status === 0;
/** A disk of 400 kB of its own, where this machine lets a test have one. */
const disk =
  !skip && process.platform === 'linux' && mount('-t', 'tmpfs', '-o', 'size=400k', 'tmpfs');

afterAll(() => {
  if (disk) spawnSync('umount', ['-l', folder]);
  rmSync(folder, { recursive: true, force: true });
});

describe.skipIf(!disk)('a disk that takes no more', () => {
  const desk = new DeskProcess(folder);
  const file = join(folder, '02-one-slit.ipynb');
  const filler = join(folder, 'filler');
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    [browser] = await Promise.all([launchBrowser(), desk.start()]);
    ({ page } = await newPage(await browser.newContext()));
    await openSheet(page, desk);
    await type(page, '2-2-work', 'const bandWidth = 1;');
    await saved(page);
  });
  afterAll(async () => {
    await browser?.close();
    await desk.kill();
  });

  const alert = () => page.getByRole('alert');
  const onDisk = () => readFileSync(file, 'utf8');

  test('full: a sentence says so, the file before it stays whole, and space brings the save', async () => {
    try {
      for (;;) writeFileSync(filler, Buffer.alloc(1024), { flag: 'a' });
    } catch (error) {
      expect((error as NodeJS.ErrnoException).code).toBe('ENOSPC');
    }
    const before = onDisk();
    const long = `const bandWidth = 2; // ${'x'.repeat(20_000)}`;
    await type(page, '2-2-work', long);
    await alert().getByText('the disk is full. Free some space').waitFor();
    await alert().getByText('Nothing typed is lost').waitFor();
    expect(onDisk()).toBe(before);
    rmSync(filler);
    await saved(page);
    expect(onDisk()).toContain(long);
  });

  test('read-only: a sentence says so, and the save comes when it may be written', async () => {
    expect(mount('-o', 'remount,ro')).toBe(true);
    await type(page, '2-2-work', 'const bandWidth = 3;');
    await alert().getByText('lies on a disk that cannot be written').waitFor();
    expect(mount('-o', 'remount,rw')).toBe(true);
    await saved(page);
    expect(onDisk()).toContain('const bandWidth = 3;');
  });

  test('damaged by another program: it is left alone, and put aside it makes room for the whole sheet', async () => {
    writeFileSync(file, onDisk().slice(0, 300));
    await type(page, '2-2-work', 'const bandWidth = 4;');
    await alert().getByText('give the damaged file another name').waitFor();
    expect(onDisk()).toHaveLength(300);
    const { page: front } = await newPage(page.context());
    await front.goto(`http://127.0.0.1:${desk.port}/`);
    await front.getByText('begin the sheet anew').waitFor();
    await front.close();
    renameSync(file, join(folder, 'damaged.ipynb'));
    await saved(page);
    expect(onDisk()).toContain('const bandWidth = 4;');
  });
});
