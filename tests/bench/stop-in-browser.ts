// From Stop until the cell has ended, in each browser that is there: the slowest way to be busy, of those that hear of it.
import { chromium, type Engine, firefox, webkit } from '../web/engines';
import { type KernelPage, openKernel, siteWithKernel } from '../web/kernel-page';

const bound = 0.3;
const busy = [
  'while (true) {}',
  'for (;;) n++;',
  'const on = () => { n++; }; for (;;) on();',
  'while (true) { n++; await 0; }',
  'await new Promise(() => {});',
];

/** In the page: seconds from Stop, a while after the cell began, until the cell's end. */
async function stopTime(code: string): Promise<number> {
  const { kernel } = globalThis as unknown as KernelPage;
  let pressed = 0;
  const stop = async () => {
    await new Promise((done) => setTimeout(done, 300));
    pressed = performance.now();
    await kernel.interrupt();
  };
  await kernel.execute(
    'let n = 0;',
    () => {},
    () => {},
  );
  await kernel.execute(
    `console.log('begun');\n${code}`,
    () => void (pressed || stop()),
    () => {},
  );
  return (performance.now() - pressed) / 1000;
}

async function slowest(engine: Engine, address: string): Promise<{ time: number; code: string }> {
  const tab = await engine.open();
  try {
    await openKernel(tab, address);
    const times = [];
    for (const code of busy) times.push({ code, time: await tab.evaluate(stopTime, code) });
    return times.reduce((one, other) => (other.time > one.time ? other : one));
  } finally {
    await tab.close();
  }
}

export default async function bench() {
  const site = await siteWithKernel();
  try {
    const rows = [];
    for (const engine of [chromium(), firefox(), webkit()]) {
      if (engine.skip) continue;
      const { time, code } = await slowest(engine, site.address);
      const name = `stop-${engine.name.toLowerCase()}`;
      rows.push({
        name,
        ours: time,
        baseline: bound,
        ratio: bound / time,
        aim: 1,
        note: `slowest of ${busy.length}: ${code}; the baseline is the bound`,
      });
    }
    return rows;
  } finally {
    await site.remove();
  }
}
