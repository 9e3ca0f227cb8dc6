import type { Page } from 'playwright-core';
import type { DeskProcess } from './stage';

/** The bench of a desk that the page's context has been let into. */
export async function openBench(
  page: Page,
  desk: DeskProcess,
  setting = '',
  shown = '.readout',
): Promise<void> {
  await page.goto('about:blank');
  await page.goto(`http://127.0.0.1:${desk.port}/bench${setting && `#${setting}`}`);
  await page.locator(shown).waitFor();
}

/** The same with a grating in a spectrometer, once both verniers are drawn. */
export const openSpectrometer = (page: Page, desk: DeskProcess, setting: string) =>
  openBench(page, desk, setting, '.vernier + .vernier svg.glass');

/** The pixels of the film, or of another row, as they are painted, R, G, B. */
export const painted = (page: Page, row = '.film-reader canvas.strip') =>
  page
    .locator(row)
    .evaluate((canvas: HTMLCanvasElement) =>
      Array.from(canvas.getContext('2d')!.getImageData(0, 0, canvas.width, 1).data).filter(
        (_, i) => i % 4 !== 3,
      ),
    );

export const farthestApart = (one: ArrayLike<number>, other: ArrayLike<number>) =>
  Array.from(one).reduce((most, value, i) => Math.max(most, Math.abs(value - other[i])), 0);
