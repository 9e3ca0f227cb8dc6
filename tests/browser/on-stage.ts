import type { Browser, BrowserContext, BrowserContextOptions } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { DeskProcess, launchBrowser } from './stage';

/**
 * A desk and a browser that all tests of the describe around it share; both are gone after the last.
 *
 * @param begin what is done before the first test, in a context made with `options`
 */
export function onStage(
  options: BrowserContextOptions,
  begin: (context: BrowserContext) => Promise<void>,
): DeskProcess {
  const desk = new DeskProcess();
  let browser: Browser | undefined;
  beforeAll(async () => {
    [browser] = await Promise.all([launchBrowser(), desk.start()]);
    await begin(await browser.newContext(options));
  });
  afterAll(async () => {
    await browser?.close();
    await desk.remove();
  });
  return desk;
}
