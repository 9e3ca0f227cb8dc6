import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Locator, Page } from 'playwright-core';

// Photographs whose slits are known, made by NumPy, SciPy and Pillow: see tests/fitting/photographs/photograph.py.
const kept = fileURLToPath(new URL('../fitting/photographs/kept/', import.meta.url));

/** What the maker of a photograph knows of it. */
export interface Truth {
  readonly file: string;
  readonly width: number;
  readonly spacing: number;
  readonly wavelength: number;
  readonly distance: number;
  readonly clicks: readonly {
    readonly pixel: readonly [number, number];
    readonly place: readonly [number, number];
  }[];
  readonly middle: readonly [number, number];
  readonly direction: number;
}

export const photographFile = (file: string) => kept + file;

export const truthOf = (file: string): Truth =>
  (JSON.parse(readFileSync(`${kept}truth.json`, 'utf8')) as Truth[]).find(
    (one) => one.file === file,
  )!;

/** Add a cell for a photograph in this question, and choose one. @returns the cell */
export async function choosePhotograph(
  page: Page,
  question: string,
  file: string,
): Promise<Locator> {
  const part = page.locator(`[id="q-${question}"]`);
  await part.locator('.add-own summary').click();
  await part.getByRole('button', { name: 'A photograph here' }).click();
  const panel = page.getByRole('region', { name: 'Photograph' });
  await panel.getByText('Take care.').waitFor();
  await panel.locator('input[type=file]').first().setInputFiles(photographFile(file));
  await panel.locator('.plane image').waitFor();
  return part.locator('[data-cell^="own-"]').last();
}

/** Where a pixel of the photograph is seen on the screen. */
export async function seenAt(page: Page, [x, y]: readonly [number, number]) {
  const plane = page.locator('.photograph .plane');
  await plane.scrollIntoViewIfNeeded();
  const box = (await plane.locator('image').boundingBox())!;
  const label = await plane.locator('.field').getAttribute('aria-label');
  const zoom = box.width / Number(/(\d+) × \d+ pixels/.exec(label!)![1]);
  return { x: box.x + (x + 0.5) * zoom, y: box.y + (y + 0.5) * zoom };
}

const clickAt = async (page: Page, at: readonly [number, number]) => {
  const { x, y } = await seenAt(page, at);
  await page.mouse.click(x, y);
};

/** Choose what a click does. */
export const takeTool = (page: Page, name: string) =>
  page.locator('.photograph .tools label', { hasText: name }).click();

/** Two marks of the ruler, and what lies between them. */
export async function setScale(page: Page, { clicks: [a, b] }: Truth): Promise<void> {
  await takeTool(page, 'Scale');
  await page.getByLabel('between them').fill(String(1e3 * (b.place[0] - a.place[0])));
  await clickAt(page, a.pixel);
  await clickAt(page, b.pixel);
}

/** Wavelength and distance, and a click on each bright place of these orders, where the maker's slits put them. */
export async function markBright(
  page: Page,
  truth: Truth,
  orders: readonly number[],
): Promise<void> {
  await takeTool(page, 'Mark places');
  await page
    .getByRole('textbox', { name: 'Wavelength nm', exact: true })
    .fill((truth.wavelength * 1e9).toFixed(1));
  await page.getByRole('textbox', { name: 'slits to screen m' }).fill(truth.distance.toFixed(4));
  const [a, b] = truth.clicks;
  const apart = Math.hypot(b.pixel[0] - a.pixel[0], b.pixel[1] - a.pixel[1]);
  const perMetre = apart / (b.place[0] - a.place[0]);
  for (const order of orders) {
    const sine = (order * truth.wavelength) / truth.spacing;
    const along = perMetre * truth.distance * Math.tan(Math.asin(sine));
    await clickAt(page, [
      truth.middle[0] + along * Math.cos(truth.direction),
      truth.middle[1] + along * Math.sin(truth.direction),
    ]);
  }
}

/** The length that the page shows by hand, as it is written there. */
export const shownLength = async (page: Page): Promise<string> =>
  (await page.locator('.photograph .by-hand output').textContent()) ?? '';
