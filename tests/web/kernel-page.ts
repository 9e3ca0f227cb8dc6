import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import type { Output } from '../../kernel-lib/notebook/notebook';
import { joinLines } from '../../kernel-lib/notebook/notebook';
import type { Published } from '../../kernel-lib/page/net/host';
import { placeIn, withMessage } from '../../kernel-lib/page/sheet/outputs';
import type { BrowserKernel } from '../../kernel-lib/web/browser-kernel';
import type { CellRan } from '../cells/every-host';
import type { Tab } from './engines';
import { type SiteForTest, siteForTest } from './site-for-test';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** What the page without a sheet has to be asked for. */
export interface KernelPage {
  readonly kernel: BrowserKernel;
}

/** The kernel of the site without its page. */
async function kernelScript(): Promise<string> {
  const contents = `import { BrowserKernel } from './kernel-lib/web/browser-kernel';
    globalThis.kernel = new BrowserKernel();
    await globalThis.kernel.open();
    document.title = 'ready';`;
  const made = await build({
    stdin: { contents, resolveDir: root, loader: 'ts' },
    ...{ bundle: true, format: 'esm', write: false, target: 'es2022', jsx: 'automatic' },
    ...{ jsxImportSource: 'preact', loader: { '.csv': 'text', '.svg': 'text' } },
  });
  return made.outputFiles[0].text;
}

/** A site with all sheets, and beside them a page that has a kernel and shows nothing. */
export async function siteWithKernel(): Promise<SiteForTest> {
  const html =
    '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="parts" content="{{parts}}"><title>-</title></head><body><script type="module" src="page/kernel.js"></script></body></html>';
  return siteForTest([], { 'kernel.html': html, 'page/kernel.js': await kernelScript() });
}

/** Open that page and wait for its kernel. */
export async function openKernel(tab: Tab, address: string): Promise<void> {
  await tab.goto(`${address}kernel.html`);
  await tab.evaluate(
    () =>
      new Promise<void>((done) => {
        const look = () => (document.title === 'ready' ? done() : setTimeout(look, 20));
        look();
      }),
    undefined,
  );
}

/** All that came of a cell, as the page was told of it. */
export type Told = readonly Published[];

/** Run cells in order, after a restart. @param stop number of the cell that is stopped once it has printed `begun` */
export const runCells = (tab: Tab, cells: readonly string[], stop?: number): Promise<Told[]> =>
  tab.evaluate(
    async ({ cells, stop }) => {
      const { kernel } = globalThis as unknown as KernelPage;
      await kernel.restart();
      const all: Published[][] = [];
      for (const [n, source] of cells.entries()) {
        const messages: Published[] = [];
        all.push(messages);
        const onOutput = (message: Published) => {
          messages.push(message);
          if (n === stop && message.content.text === 'begun\n') void kernel.interrupt();
        };
        await kernel.execute(source, onOutput, () => {});
      }
      return all;
    },
    { cells, stop },
  );

/** The same in the words in which every host is asked. */
export function ranOf(messages: Told): CellRan {
  const outputs = messages.reduce<Output[]>(withMessage, []);
  const plain = (data: object) => String((data as Record<string, unknown>)['text/plain'] ?? '');
  const error = outputs.find((one) => one.output_type === 'error');
  const value = outputs.find((one) => one.output_type === 'execute_result');
  return {
    printed: outputs
      .flatMap((one) => (one.output_type === 'stream' ? [joinLines(one.text)] : []))
      .join(''),
    pieces: messages.filter(({ header }) => header.msg_type === 'stream').length,
    shown: outputs.flatMap((one) => (one.output_type === 'display_data' ? [plain(one.data)] : [])),
    ...(value && { value: plain(value.data) }),
    ...(error && {
      error: { name: error.ename, message: error.evalue, line: placeIn(outputs)?.line },
    }),
  };
}
