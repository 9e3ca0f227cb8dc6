import { tmpdir } from 'node:os';
import { ask, launchKernel } from '../../kernel-lib/kernel/client';

// Time from the interrupt request to the cell's reply, the slowest of the ways to be busy; a second is asked for.
const busy = [
  'while (true) n++;',
  'await 0; while (true) n++;',
  'await new Promise(() => setTimeout(() => { for (;;) n++; }, 1));',
  'await new Promise(() => {});',
];
const pause = (ms: number) => new Promise((done) => setTimeout(done, ms));

export default async function bench() {
  const kernel = await launchKernel({ cwd: tmpdir() });
  const run = (code: string) => ask(kernel, 'shell', 'execute_request', { code });
  const times: number[] = [];
  try {
    await run('let n = 0;');
    for (const code of busy) {
      const running = run(code);
      await pause(300);
      const started = performance.now();
      await ask(kernel, 'control', 'interrupt_request', {});
      const { content } = await running;
      if (content.ename !== 'Interrupted') throw new Error(`${code} ended as ${content.ename}.`);
      times.push((performance.now() - started) / 1000);
    }
  } finally {
    await kernel.shutdown();
  }
  const ours = Math.max(...times);
  return {
    name: 'interrupt',
    ours,
    baseline: 1,
    ratio: 1 / ours,
    aim: 1,
    note: `slowest of ${busy.length} kinds of loops and waits; baseline: the second that is allowed`,
  };
}
