import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

/** Windows in which every screen is looked at, in CSS pixels. */
export const sizes = [
  [1440, 900],
  [1024, 768],
  [390, 844],
] as const;

/** What axe-core finds against WCAG 2.2 A and AA, one line each. The context needs `bypassCSP`: the page lets no foreign script in. */
export async function findings(page: Page): Promise<string[]> {
  if (!(await page.evaluate(() => 'axe' in window))) await page.addScriptTag({ path: axe });
  await page.evaluate(() => window.scrollTo(0, 0));
  const { violations } = await page.evaluate(() =>
    // biome-ignore lint/suspicious/noExplicitAny: axe puts itself there
    (window as any).axe.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    }),
  );
  return violations.flatMap(
    ({ id, nodes }: { id: string; nodes: { html: string; failureSummary: string }[] }) =>
      nodes.map(
        ({ html, failureSummary }) =>
          `${id}: ${html.slice(0, 160)} ${failureSummary.slice(0, 200)}`,
      ),
  );
}
