import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Desk, startDesk } from '../../kernel-lib/desk/desk';
import { launchKernel } from '../../kernel-lib/kernel/client';
import type { Notebook } from '../../kernel-lib/notebook/notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';

/** A small sheet, enough to be listed and opened. */
export const smallSheet: Notebook = {
  nbformat: 4,
  nbformat_minor: 5,
  metadata: {},
  cells: [
    {
      cell_type: 'markdown',
      id: 'title',
      metadata: { multislit: { sheet: '01-small', role: 'text' } },
      source: '# Small',
    },
    {
      cell_type: 'code',
      id: 'student-number',
      metadata: { multislit: { sheet: '01-small', role: 'work' } },
      source: "const studentNumber = '000000';",
      execution_count: null,
      outputs: [],
    },
    {
      cell_type: 'markdown',
      id: 'words',
      metadata: { multislit: { sheet: '01-small', role: 'written', question: '1.2' } },
      source: '*Write here.*',
    },
  ],
};

const questions = `module.exports = { default: { name: '01-small', title: 'Small', givens: () => ({}), questions: [
  { id: '1.1', asks: 'One', marks: 2, kind: 'sealed', answer: 'number', unit: 'mm' },
  { id: '1.2', asks: 'Two', marks: 3, kind: 'written' } ] } };`;

export interface TestDesk extends Desk {
  folder: string;
  worksheets: string;
  token: string;
  origin: string;
  /** fetch as a client that shows the token. */
  ask(path: string, init?: RequestInit): Promise<Response>;
  end(): Promise<void>;
}

/**
 * A desk of its own folders, with the small sheet and one that lacks its questions.
 *
 * @param builtPage the folder of a page; one of two words otherwise
 * @param room the folder of a bench for phones; none otherwise
 */
export async function testDesk(builtPage?: string, room?: string): Promise<TestDesk> {
  const home = mkdtempSync(join(tmpdir(), 'multislit-desk-'));
  const [folder, worksheets] = ['work', 'worksheets'].map((name) => join(home, name));
  const page = builtPage ?? join(home, 'page');
  for (const name of ['01-small', '04-lost']) {
    mkdirSync(join(worksheets, name), { recursive: true });
    writeFileSync(join(worksheets, name, 'sheet.ipynb'), writeNotebook(smallSheet));
  }
  writeFileSync(join(worksheets, '01-small', 'sheet.cjs'), questions);
  if (!builtPage) {
    mkdirSync(page);
    writeFileSync(join(page, 'index.html'), '<body data-nonce="{{nonce}}">page</body>');
    writeFileSync(join(page, 'app.js'), '// script');
  }
  const launch = () => launchKernel({ cwd: folder });
  const desk = await startDesk({ folder, worksheets, page, port: 0, launch, room });
  const { origin, searchParams } = new URL(desk.address);
  const token = searchParams.get('token') ?? '';
  return {
    ...desk,
    folder,
    worksheets,
    token,
    origin,
    ask: (path, init = {}) =>
      fetch(origin + path, {
        ...init,
        headers: { Authorization: `token ${token}`, ...init.headers },
      }),
    async end() {
      await desk.close();
      rmSync(home, { recursive: true, force: true });
    },
  };
}
