import { afterAll, beforeAll, describe } from 'vitest';
import { everyHost } from '../cells/every-host';
import { alike } from './alike';
import type { Engine, Tab } from './engines';
import { openKernel, ranOf, runCells, siteWithKernel } from './kernel-page';
import { shutOff } from './shut-off';
import type { SiteForTest } from './site-for-test';
import { stops } from './stops';

/** All that is asked of the kernel of a site, in one engine: one browser, one site, one page. */
export function everyEngine(engine: Engine): void {
  describe.skipIf(engine.skip)(engine.name, () => {
    let tab: Tab;
    let site: SiteForTest;
    beforeAll(async () => {
      site = await siteWithKernel();
      tab = await engine.open();
      await openKernel(tab, site.address);
    });
    afterAll(async () => {
      await tab?.close();
      await site?.remove();
    });

    everyHost('a runner that is shut off, and a checker', async () => ({
      close: async () => {},
      run: async (cells, stop) => (await runCells(tab, cells, stop)).map(ranOf),
    }));

    shutOff(
      () => tab,
      () => site,
    );

    stops(() => tab);

    alike(() => tab, engine.name === 'Chromium');
  });
}
