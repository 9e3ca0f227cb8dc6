import {
  chmodSync,
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { root } from '../../../kernel-lib/setup/places.mjs';
import { launchBrowser, newPage, skip as noBrowser } from '../../browser/stage';
import { oneSlit } from '../../cli/class-for-test';
import { needs } from '../../needs';
import { NotebookPage } from '../notebook-page';
import { HubServer } from './hub-server';
import { createGroup, MachineAccount } from './machine-account';

// A class on one server: Debian's JupyterHub as the guide has it, with real accounts, their real passwords (PAM),
// real processes. Only the ports and the folder are the test's own.

const isRoot = process.getuid?.() === 0;
if (!isRoot) console.warn('Skipped: JupyterHub, whose accounts only root can make');
const skip = !isRoot || needs('jupyterhub').skip || noBrowser;
const sheet = `${oneSlit}.ipynb`;

describe.skipIf(skip)('a class on one server', () => {
  const undo: (() => void)[] = [];
  let folder: string;
  let hub: HubServer;
  let browser: Browser;
  const students: MachineAccount[] = [];
  const pages: Page[] = [];

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'class-'));
    undo.push(() => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }));
    chmodSync(folder, 0o755);
    // What the instructor keeps: sources and keys, in a closed folder on the same machine.
    mkdirSync(join(folder, 'instructor'), { mode: 0o700 });
    for (const part of ['worksheets', '.build/worksheets'])
      cpSync(join(root, part), join(folder, 'instructor', part), { recursive: true });
    mkdirSync(join(folder, 'home'));
    mkdirSync(join(folder, 'optics'));
    undo.push(createGroup('optics'));
    for (const [name, groups] of [
      ['s204117', ['optics']],
      ['s318250', ['optics']],
      ['visitor', []],
    ] as const) {
      const account = MachineAccount.create(name, join(folder, 'home', name), groups);
      undo.push(() => account.remove());
      students.push(account);
    }
    hub = new HubServer(join(folder, 'optics'));
    hub.install([oneSlit]);
    [browser] = await Promise.all([launchBrowser(), hub.start()]);
  });
  afterAll(async () => {
    await browser?.close();
    await hub?.stop();
    for (const step of undo.reverse()) step();
  });

  async function logIn(account: MachineAccount, password = account.password): Promise<Page> {
    const { page } = await newPage(await browser.newContext());
    await page.goto(`${hub.url}/hub/login`);
    await page.getByLabel('Username:').fill(account.name);
    await page.getByLabel('Password:').fill(password);
    await page.getByRole('button', { name: 'Sign in' }).click();
    return page;
  }

  async function work(account: MachineAccount): Promise<NotebookPage> {
    const page = await logIn(account);
    await page.waitForURL(new RegExp(`/user/${account.name}/tree`), { timeout: 60_000 });
    pages[students.indexOf(account)] = page;
    const text = readFileSync(join(account.home, 'optics', sheet), 'utf8');
    const address = `${hub.url}/user/${account.name}/notebooks/${sheet}`;
    const open = await NotebookPage.open(page, address, text);
    await open.run('student-number', `const studentNumber = '${account.name.slice(1)}';`);
    return open;
  }

  /** What a cell of a sheet finds out about the machine it runs on. */
  const look = (closed: readonly string[], fixed: readonly string[]) => `
import { accessSync, constants, readdirSync, readFileSync } from 'node:fs';
const does = (act: () => unknown) => { try { act(); return true; } catch { return false; } };
const read = ${JSON.stringify(closed)}.filter(
  (path) => does(() => readdirSync(path)) || does(() => readFileSync(path)));
const wrote = ${JSON.stringify(fixed)}.filter((path) => does(() => accessSync(path, constants.W_OK)));
console.log('account ' + process.getuid!() + ', reads [' + read.join() + '], writes [' + wrote.join() + ']');`;

  test('only members of the class come in, with their own password', async () => {
    const [first, , visitor] = students;
    const refused = [logIn(first, 'wrong'), logIn(visitor)].map(async (coming) => {
      const page = await coming;
      await page.getByText('Invalid username or password').waitFor();
      await page.context().close();
    });
    await Promise.all(refused);
  });

  test('each works a sheet in a server and a kernel of their own account', async () => {
    const both = students.slice(0, 2);
    const sheets = await Promise.all(both.map(work));
    for (const [i, account] of both.entries()) {
      const open = sheets[i];
      expect(await open.run('given')).toContain(
        `One slit. Student ${account.name.slice(1)}, 9 questions`,
      );
      expect(
        await open
          .output('given')
          .getByRole('img', { name: /^3 film strips/ })
          .count(),
      ).toBe(1);
      // The hub's own child, Notebook, and the kernel below it.
      expect(account.processes().length).toBeGreaterThanOrEqual(2);
      const saved = statSync(join(account.home, 'optics', sheet));
      expect([saved.uid, saved.mode & 0o777]).toEqual([account.uid, 0o600]);
    }
  });

  test('no cell reaches another’s folder, a key, the hub’s state, or changes the program', async () => {
    const inside = (path: string) =>
      readdirSync(path, { recursive: true, encoding: 'utf8' }).map((name) => join(path, name));
    const keys = inside(join(folder, 'instructor')).filter((path) => /key\.\w+$/.test(path));
    expect(keys.length).toBeGreaterThan(10);
    const state = join(folder, 'optics/state');
    const program = join(folder, 'optics/program');
    expect(
      inside(program).filter((path) => /\bkey\.c?[jt]s$/.test(path) && !/node_modules/.test(path)),
    ).toEqual([]);
    const fixed = [join(folder, 'optics'), program, ...inside(join(folder, 'optics/jupyter'))];
    for (const bundle of ['index.cjs', 'kernel.cjs']) fixed.push(join(program, '.build', bundle));
    for (const [own, other] of [students, [students[1], students[0]]]) {
      const closed = [
        ...[other.home, join(other.home, 'optics'), join(other.home, 'optics', sheet)],
        ...[join(folder, 'instructor'), ...keys, state, ...inside(state)],
      ];
      const open = new NotebookPage(pages[students.indexOf(own)], idsOf(own));
      const said = await open.run('2-1-work', look([...closed, own.home], [...fixed, own.home]));
      expect(said).toContain(`account ${own.uid}, reads [${own.home}], writes [${own.home}]`);
    }
  });

  test('no browser reaches another’s server', async () => {
    const [, other] = students;
    const answer = await pages[0].request.get(
      `${hub.url}/user/${other.name}/api/contents/${sheet}`,
    );
    expect(answer.status()).toBe(403);
  });

  test('work that is there is never written over by a later start', async () => {
    const [account] = students;
    const mine = join(account.home, 'optics', sheet);
    await pages[0].keyboard.press('ControlOrMeta+s');
    await expect.poll(() => readFileSync(mine, 'utf8').includes("'204117'")).toBe(true);
    await hub.stop();
    await expect.poll(() => account.processes()).toEqual([]);
    await hub.start();
    const page = await logIn(account);
    await page.waitForURL(new RegExp(`/user/${account.name}/tree`), { timeout: 60_000 });
    expect(readFileSync(mine, 'utf8')).toContain("'204117'");
  });

  function idsOf(account: MachineAccount): string[] {
    const text = readFileSync(join(account.home, 'optics', sheet), 'utf8');
    return JSON.parse(text).cells.map(({ id }: { id: string }) => id);
  }
});
