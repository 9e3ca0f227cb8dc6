import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { needs } from '../needs';

export const { path: chromiumPath, skip } = needs('chromium');
const cli = fileURLToPath(new URL('../../.build/cli.cjs', import.meta.url));

/** A desk in a process of its own, so that it can be killed, with a work folder of its own. */
export class DeskProcess {
  port = 0;
  address = '';
  private child: ChildProcess | undefined;

  /** @param more words of `multislit open` */
  constructor(
    readonly folder = mkdtempSync(join(tmpdir(), 'multislit-desk-')),
    private readonly more: readonly string[] = [],
  ) {}

  /** Start, at the same port as before when it was started before. */
  async start(): Promise<void> {
    const port = ['--port', String(this.port)];
    const words = [cli, 'open', this.folder, ...port, '--no-browser', ...this.more];
    const child = spawn(process.execPath, words, { stdio: ['ignore', 'pipe', 'pipe'] });
    this.child = child;
    let said = '';
    this.address = await new Promise<string>((done, fail) => {
      const hear = (text: Buffer) => {
        said += text;
        const match = /http:\S+/.exec(said);
        if (match) done(match[0]);
      };
      child.stdout.on('data', hear);
      child.stderr.on('data', hear);
      child.once('exit', (code) => fail(new Error(`The desk ended (${code}): ${said}`)));
    });
    this.port = Number(new URL(this.address).port);
  }

  /** Of the process, while it runs. */
  get pid(): number | undefined {
    return this.child?.pid;
  }

  /** End it as a power cut would: no time to save anything. */
  async kill(): Promise<void> {
    await this.end('SIGKILL');
  }

  private async end(signal: 'SIGKILL' | 'SIGTERM'): Promise<void> {
    const { child } = this;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const gone = once(child, 'exit');
    child.kill(signal);
    await gone;
  }

  async remove(): Promise<void> {
    await this.end('SIGTERM');
    rmSync(this.folder, { recursive: true, force: true });
  }
}

let running: Promise<Browser> | undefined;

/**
 * The one browser of all files that a worker runs, for its start costs more than many a test. What comes back is the
 * caller's own part of it, whose `close` ends the contexts that were made through it.
 */
export async function launchBrowser(): Promise<Browser> {
  running ??= chromium
    .launch({ executablePath: chromiumPath, args: ['--no-sandbox', '--disable-gpu'] })
    .then((browser) =>
      browser.once('disconnected', () => {
        running = undefined;
      }),
    );
  const browser = await running;
  const made: BrowserContext[] = [];
  const part: Pick<Browser, 'newContext' | 'newPage' | 'close'> = {
    async newContext(options) {
      const context = await browser.newContext(options);
      made.push(context);
      return context;
    },
    newPage: async (options) => (await part.newContext(options)).newPage(),
    async close() {
      await Promise.all(made.map((context) => context.close()));
    },
  };
  return Object.assign(Object.create(browser), part);
}

/** A page that fails the test on errors of its own scripts; `faults` gathers what its console says. */
export async function newPage(context: BrowserContext): Promise<{ page: Page; faults: string[] }> {
  const page = await context.newPage();
  page.setDefaultTimeout(120_000);
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(String(error)));
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(message.text());
  });
  return { page, faults };
}

/** From the printed address to an open sheet, as a student goes there. */
export async function openSheet(
  page: Page,
  desk: { readonly address: string },
  title = 'One slit',
): Promise<void> {
  await page.goto(desk.address);
  const asked = page.getByLabel('Your student number');
  const known = page.getByText('Student number', { exact: false }).first();
  await known.waitFor();
  if (await asked.isVisible()) {
    await asked.fill('204117');
    await asked.press('Enter');
  }
  await page.getByRole('button', { name: new RegExp(`(Begin|Go on with) ${title}`) }).click();
  await page.getByRole('heading', { level: 1, name: title }).waitFor();
  // The givens of a fresh copy come out by themselves; of a copy opened before its outputs are there.
  const given = cell(page, 'given');
  const idle = (await given.getAttribute('data-state')) === 'still';
  if (idle && (await given.locator('.outputs').count()) === 0) await run(page, 'given');
  await given.locator('.outputs').waitFor();
  await page.locator('[data-cell="given"][data-state="still"]').waitFor();
}

/** The frame of the cell with this id. */
export const cell = (page: Page, id: string) => page.locator(`[data-cell="${id}"]`);

/** Replace what stands in a cell's editor. */
export async function type(page: Page, id: string, text: string): Promise<void> {
  const editor = cell(page, id).getByRole('textbox');
  await editor.click();
  await editor.press('ControlOrMeta+a');
  await page.keyboard.insertText(text);
}

/** Run a cell with its own button and wait until it has run. */
export async function run(page: Page, id: string): Promise<void> {
  const frame = cell(page, id);
  const before = await frame.getAttribute('data-runs');
  await frame.getByRole('button', { name: /^(Run|Check)/ }).click();
  await page
    .locator(`[data-cell="${id}"][data-state="still"]:not([data-runs="${before}"])`)
    .waitFor();
}

/** Wait until the bar says that all is saved. */
export async function saved(page: Page): Promise<void> {
  await page.locator('[data-save="saved"]').waitFor();
}
