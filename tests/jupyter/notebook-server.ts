import { type ChildProcess, spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { installKernel } from '../../kernel-lib/kernel/kernelspec';
import { emptyFolder } from '../kernel/kernel';

const root = join(import.meta.dirname, '..', '..');

/** Debian's Jupyter Notebook on this computer only, with folders of its own for everything that it keeps. */
export class NotebookServer {
  readonly token = randomBytes(16).toString('hex');
  private readonly home = emptyFolder();
  readonly folder = join(this.home.path, 'sheets');
  private child: ChildProcess | undefined;
  private url = '';

  constructor(private readonly jupyter: string) {}

  async start(): Promise<void> {
    const inHome = (name: string) => join(this.home.path, name);
    mkdirSync(this.folder);
    await installKernel({ dir: inHome('data') });
    const words = [
      'notebook',
      '--no-browser',
      '--ip=127.0.0.1',
      // Another is taken if this one is not free.
      `--port=${20_000 + (process.pid % 20_000)}`,
      ...(process.getuid?.() === 0 ? ['--allow-root'] : []),
    ];
    const child = spawn(this.jupyter, words, {
      cwd: this.folder,
      stdio: ['ignore', 'ignore', 'pipe'],
      env: {
        ...process.env,
        HOME: this.home.path,
        JUPYTER_DATA_DIR: inHome('data'),
        JUPYTER_CONFIG_DIR: inHome('config'),
        JUPYTER_RUNTIME_DIR: inHome('runtime'),
        JUPYTER_TOKEN: this.token,
      },
    });
    this.child = child;
    let said = '';
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      said += text;
    });
    // Jupyter writes where it serves into its runtime folder.
    for (const until = Date.now() + 30_000; this.url === ''; ) {
      if (child.exitCode !== null || Date.now() > until)
        throw new Error(`Jupyter Notebook does not serve: ${said}`);
      await new Promise((done) => setTimeout(done, 100));
      const names = existsSync(inHome('runtime')) ? readdirSync(inHome('runtime')) : [];
      const name = names.find((one) => /^nbserver-\d+\.json$/.test(one));
      if (name) this.url = urlIn(readFileSync(join(inHome('runtime'), name), 'utf8'));
    }
  }

  /** Put a copy of a sheet into the folder that is served. */
  addSheet(sheet: string, as: string): void {
    copyFileSync(join(root, '.build', 'worksheets', sheet, 'sheet.ipynb'), join(this.folder, as));
  }

  address(file: string): string {
    return `${this.url}notebooks/${file}?token=${this.token}`;
  }

  async remove(): Promise<void> {
    const { child } = this;
    if (child && child.exitCode === null) {
      const gone = once(child, 'exit');
      child.kill('SIGTERM');
      await gone;
    }
    this.home.remove();
  }
}

/** Empty while the file is not written to its end. */
function urlIn(text: string): string {
  try {
    return JSON.parse(text).url;
  } catch {
    return '';
  }
}
