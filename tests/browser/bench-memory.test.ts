import type { CDPSession } from 'playwright-core';
import { expect, test } from 'vitest';
import { DeskProcess, launchBrowser, newPage, skip } from './stage';

/** MULTISLIT_MOVES=28800 is eight hours of a tutor who moves something every second. */
const moves = Number(process.env.MULTISLIT_MOVES ?? 300);

/** In the page: push sliders about at random, a frame for each. */
async function shake([moves, seed]: readonly [number, number]): Promise<void> {
  let state = seed;
  const next = (limit: number) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * limit);
  };
  for (let i = 0; i < moves; i++) {
    // Uneven slits take longer to compute, and keep nothing more.
    const sliders = [
      ...document.querySelectorAll<HTMLInputElement>(
        '.bench input[type=range]:not([aria-label^=Ruling])',
      ),
    ];
    const slider = sliders[next(sliders.length)];
    slider.value = String(next(Number(slider.max) + 1));
    slider.dispatchEvent(new Event('input', { bubbles: true }));
    await new Promise(requestAnimationFrame);
  }
}

/** What the page holds once all that can go has gone. */
async function held(devtools: CDPSession) {
  await devtools.send('HeapProfiler.collectGarbage');
  const { usedSize } = await devtools.send('Runtime.getHeapUsage');
  const { nodes, jsEventListeners } = await devtools.send('Memory.getDOMCounters');
  return { bytes: usedSize, nodes, listeners: jsEventListeners };
}

test.skipIf(skip)(
  'hours of random moves leave no memory behind',
  async () => {
    const desk = new DeskProcess();
    const [browser] = await Promise.all([launchBrowser(), desk.start()]);
    try {
      const { page, faults } = await newPage(
        await browser.newContext({ viewport: { width: 1440, height: 900 } }),
      );
      await page.goto(desk.address);
      await page.goto(`http://127.0.0.1:${desk.port}/bench#slits=8`);
      await page.getByRole('button', { name: 'Pin this strip' }).click();
      const devtools = await page.context().newCDPSession(page);
      // The light's tables, kept for each light and as long as the widest pattern yet, come with the first moves.
      await page.evaluate(shake, [Math.max(100, Math.min(2000, moves / 10)), 20260615] as const);
      const before = await held(devtools);
      for (let left = moves, seed = 1; left > 0; left -= 600, seed++) {
        await page.evaluate(shake, [Math.min(600, left), seed] as const);
      }
      const after = await held(devtools);
      if (process.env.MULTISLIT_MOVES) console.log({ moves, before, after });
      // One pattern is 70 kB: were one move in ten to leave its own behind, this many would come to more.
      expect(after.bytes - before.bytes).toBeLessThan(Math.min(7e3 * moves, 6e6));
      expect(after.nodes - before.nodes).toBeLessThan(200);
      expect(after.listeners - before.listeners).toBeLessThan(50);
      expect(faults).toEqual([]);
    } finally {
      await browser.close();
      await desk.remove();
    }
  },
  90_000 + 100 * moves,
);
