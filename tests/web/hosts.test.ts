import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { describe } from 'vitest';
import type { Output } from '../../kernel-lib/notebook/notebook';
import { joinLines } from '../../kernel-lib/notebook/notebook';
import type { Published } from '../../kernel-lib/page/net/host';
import { placeIn, withMessage } from '../../kernel-lib/page/sheet/outputs';
import type { BrowserKernel } from '../../kernel-lib/web/browser-kernel';
import { launchBrowser, skip } from '../browser/stage';
import { type CellRan, everyHost } from '../cells/every-host';
import { siteForTest } from './site-for-test';

const root = fileURLToPath(new URL('../..', import.meta.url));

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

function ranOf(messages: readonly Published[]): CellRan {
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

describe.skipIf(skip)('in a browser', () => {
  everyHost('a runner that is shut off, and a checker', async () => {
    const html =
      '<!doctype html><meta name="parts" content="{{parts}}"><body><script type="module" src="page/kernel.js"></script>';
    const script = await kernelScript();
    const site = await siteForTest(['01-a-parallel-beam'], {
      'kernel.html': html,
      'page/kernel.js': script,
    });
    const browser = await launchBrowser();
    const page = await browser.newPage();
    page.setDefaultTimeout(60_000);
    await page.goto(`${site.address}kernel.html`);
    await page.waitForFunction(() => document.title === 'ready');
    return {
      async close() {
        await browser.close();
        await site.remove();
      },
      async run(cells, stop) {
        const told = await page.evaluate(
          async ([sources, at]) => {
            const { kernel } = globalThis as unknown as { kernel: BrowserKernel };
            await kernel.restart();
            const all: Published[][] = [];
            for (const [n, source] of sources.entries()) {
              const messages: Published[] = [];
              all.push(messages);
              const onOutput = (message: Published) => {
                messages.push(message);
                if (n === at && message.content.text === 'begun\n') void kernel.interrupt();
              };
              await kernel.execute(source, onOutput, () => {});
            }
            return all;
          },
          [cells, stop] as const,
        );
        return told.map(ranOf);
      },
    };
  });
});
