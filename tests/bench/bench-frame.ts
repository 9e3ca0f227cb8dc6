// From a moved slider to the painted frame, in Chromium: 20 slits, white light, 1200 positions.
import type { Page } from 'playwright-core';
import { DeskProcess, launchBrowser, skip } from '../browser/stage';

/** One frame of a screen that shows 60 in a second, s. */
const FRAME = 0.016;
const MOVES = 160;
/** Rounds; what else the machine does falls on some more than on others. */
const ROUNDS = 5;

/** Note the time from each frame's first `input` event until the frame has been painted, ms. */
async function watch(page: Page): Promise<void> {
  await page.evaluate(() => {
    const noted: number[] = [];
    let from: number | undefined;
    const painted = new MessageChannel();
    // A message sent while a frame is made is handled once that frame has gone to be painted.
    painted.port1.onmessage = () => {
      if (from !== undefined) noted.push(performance.now() - from);
      from = undefined;
    };
    addEventListener(
      'input',
      () => {
        if (from !== undefined) return;
        from = performance.now();
        requestAnimationFrame(() => painted.port2.postMessage(0));
      },
      { capture: true },
    );
    Object.assign(window, { noted });
  });
}

/** Drag a slider's thumb to and fro between two shares of its length. */
async function drag(page: Page, label: string, shares: readonly [number, number]): Promise<void> {
  const box = await page.getByLabel(label).boundingBox();
  if (!box) throw new Error(`There is no slider ${label}.`);
  const at = (share: number) => box.x + 8 + share * (box.width - 16);
  const y = box.y + box.height / 2;
  await page.mouse.move(at(shares[0]), y);
  await page.mouse.down();
  for (let i = 0; i < MOVES; i++) {
    const phase = (i / 40) % 2;
    const share = shares[0] + (shares[1] - shares[0]) * (phase < 1 ? phase : 2 - phase);
    await page.mouse.move(at(share), y);
  }
  await page.mouse.up();
}

const share = (round: number[], part: number) =>
  round[Math.min(round.length - 1, Math.floor(part * round.length))];

/** Rounds of frames, each sorted, s; the quietest first. */
async function measured(page: Page, desk: DeskProcess, layers: string): Promise<number[][]> {
  await page.goto('about:blank');
  await page.goto(`http://127.0.0.1:${desk.port}/bench#slits=20&width=40um&spacing=110um${layers}`);
  await page.locator('.readout').waitFor();
  // The light's tables and the compiler settle in.
  await drag(page, 'Slit width, slider', [0.1, 0.4]);
  await watch(page);
  const rounds: number[][] = [];
  for (let round = 0; round < ROUNDS; round++) {
    await drag(page, 'Slit width, slider', [0.1, 0.4]);
    await drag(page, 'Exposure, slider', [0.2, 0.8]);
    const noted = await page.evaluate(() =>
      (window as unknown as { noted: number[] }).noted.splice(0),
    );
    rounds.push(noted.map((ms) => ms / 1e3).sort((a, b) => a - b));
  }
  return rounds.sort((a, b) => share(a, 0.95) - share(b, 0.95));
}

export default async function benchFrame() {
  if (skip) throw new Error(`bench-frame needs Chromium: ${skip}`);
  const desk = new DeskProcess();
  const [browser] = await Promise.all([launchBrowser(), desk.start()]);
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await page.goto(desk.address);
    const plain = await measured(page, desk, '');
    const layered = await measured(
      page,
      desk,
      '&layers=ghost,before,envelope,missing,wavelengths,paths,colour',
    );
    const ours = share(plain[0], 0.95);
    const ms = (seconds: number) => `${(seconds * 1e3).toFixed(1)} ms`;
    const told = (rounds: number[][]) =>
      `median ${ms(share(rounds[0], 0.5))}; 95th of 100 in each: ${rounds.map((round) => ms(share(round, 0.95))).join(', ')}`;
    return {
      name: 'bench-frame',
      ours,
      baseline: FRAME,
      ratio: FRAME / ours,
      aim: 1,
      note: [
        'slider to paint, 95th of 100: from the first input event of a frame until that frame is painted; headless Chromium without a graphics card',
        `the quietest of ${ROUNDS} rounds of ${plain[0].length} frames, ${told(plain)}`,
        `with all layers on ${ms(share(layered[0], 0.95))}, ${told(layered)}`,
      ].join('\n'),
    };
  } finally {
    await browser.close();
    await desk.remove();
  }
}
