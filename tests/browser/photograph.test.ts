import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Locator, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { readPicture } from '../../kernel-lib/fitting/picture/read-picture';
import { sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { findings, sizes } from './find-faults';
import { onStage } from './on-stage';
import {
  choosePhotograph,
  markBright,
  photographFile,
  seenAt,
  setScale,
  shownLength,
  takeTool,
  truthOf,
} from './photograph-stage';
import { newPage, openSheet, saved, skip } from './stage';

describe.skipIf(skip)('a photograph of a pattern, read in the page', () => {
  const truth = truthOf('009-careful.jpg');
  let page: Page;
  let own: Locator;
  let faults: string[];

  // The page's policy lets no foreign script in, axe included.
  const desk = onStage(
    { bypassCSP: true, viewport: { width: 1440, height: 1000 } },
    async (context) => {
      ({ page, faults } = await newPage(context));
      await openSheet(page, desk);
    },
  );

  const handle = (name: string) => page.getByRole('slider', { name, exact: true });
  const placeOf = async (name: string) => {
    const words = await handle(name).getAttribute('aria-valuetext');
    return [...words!.matchAll(/-?[\d.]+/g)].map(([number]) => Number(number));
  };

  test('is kept beside the sheet as pixels alone, under a name that tells nothing', async () => {
    own = await choosePhotograph(page, '2.1', truth.file);
    expect(readdirSync(desk.folder)).toContain('photograph-1.png');
    const bytes = readFileSync(join(desk.folder, 'photograph-1.png'));
    const { width, height, kind } = readPicture(new Uint8Array(bytes));
    expect(kind).toBe('PNG');
    expect(Math.max(width, height)).toBeLessThanOrEqual(2048);
    // Chunks of a PNG (W3C PNG, section 11, from memory): header, pixels, end, and nothing in which words stand.
    const chunks: string[] = [];
    for (let at = 8; at < bytes.length; at += 12 + bytes.readUInt32BE(at))
      chunks.push(bytes.toString('latin1', at + 4, at + 8));
    expect([...new Set(chunks)]).toEqual(['IHDR', 'IDAT', 'IEND']);
  });

  test('the band is found along the row of spots', async () => {
    const [from, to] = [
      await placeOf('First end of the band'),
      await placeOf('Second end of the band'),
    ];
    const angle = Math.atan2(to[1] - from[1], to[0] - from[0]);
    expect(Math.abs(angle - truth.direction)).toBeLessThan(0.01);
    const off =
      (truth.middle[1] - from[1]) * Math.cos(angle) - (truth.middle[0] - from[0]) * Math.sin(angle);
    expect(Math.abs(off)).toBeLessThan(8);
  });

  test('its ends are dragged by mouse, and moved by keys: a pixel, with Shift ten', async () => {
    const before = await placeOf('First end of the band');
    const curve = () => page.locator('.photograph .curve .line').getAttribute('d');
    const drawn = await curve();
    const start = await seenAt(page, [before[0], before[1]]);
    const end = await seenAt(page, [before[0] + 60, before[1] + 20]);
    await page.mouse.move(start.x, start.y);
    await page.mouse.down();
    await page.mouse.move(end.x - 5, end.y);
    await page.locator('.photograph .curve svg[data-quick="true"]').waitFor();
    await page.mouse.move(end.x, end.y);
    await page.mouse.up();
    await page.locator('.photograph .curve svg[data-quick="false"]').waitFor();
    const dragged = await placeOf('First end of the band');
    expect(Math.hypot(dragged[0] - before[0] - 60, dragged[1] - before[1] - 20)).toBeLessThan(2);
    expect(await curve()).not.toBe(drawn);
    await handle('First end of the band').focus();
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('Shift+ArrowLeft');
    await expect
      .poll(async () =>
        (await placeOf('First end of the band')).map((value, k) => Math.round(value - dragged[k])),
      )
      .toEqual([-10, -1]);
    await handle('Width of the band').focus();
    const [width] = await placeOf('Width of the band');
    await page.keyboard.press('ArrowRight');
    await expect
      .poll(async () => (await placeOf('Width of the band'))[0])
      .toBeCloseTo(width + 1, 6);
    await page.getByRole('button', { name: 'Find it again' }).click();
    await expect.poll(() => placeOf('First end of the band')).toEqual(before);
  });

  test('wheel, + and − zoom, and what is under the pointer stays', async () => {
    const zoom = page.locator('.photograph .zooming .note');
    const whole = await zoom.textContent();
    const { x, y } = await seenAt(page, [...truth.middle]);
    await page.mouse.move(x, y);
    await page.mouse.wheel(0, -300);
    await page.waitForFunction(
      (text) => document.querySelector('.zooming .note')?.textContent !== text,
      whole,
    );
    const after = await seenAt(page, [...truth.middle]);
    expect(Math.hypot(after.x - x, after.y - y)).toBeLessThan(2);
    await page.locator('.photograph .field').focus();
    const percent = async () => Number.parseInt((await zoom.textContent()) ?? '', 10);
    await page.keyboard.press('-');
    const before = await percent();
    await page.keyboard.press('+');
    await expect.poll(percent).toBeGreaterThan(before);
    await page.keyboard.press('0');
    await expect.poll(() => zoom.textContent()).toBe(whole);
  });

  test('a ruler gives the scale, clicks on bright places the spacing, with its uncertainty', async () => {
    await setScale(page, truth);
    await page.getByText('2 of 2 set').waitFor();
    await markBright(page, truth, [-2, -1, 0, 1, 2]);
    const [, value, digits] = /^([\d.]+)\(([\d.]+)\) µm$/.exec(await shownLength(page))!;
    const u = digits.includes('.')
      ? Number(digits)
      : Number(digits) * 10 ** -(value.split('.')[1]?.length ?? 0);
    expect(Math.abs(Number(value) - truth.spacing * 1e6)).toBeLessThan(2 * u);
    expect(u).toBeLessThan(0.03 * Number(value));
  });

  test('the lines of code go into the cell, run, and print the number that the page shows', async () => {
    const shown = await shownLength(page);
    await page.getByRole('button', { name: 'Write into the cell and run' }).click();
    await own.locator('.outputs').getByText('spacing by hand:').waitFor();
    await page.getByText('The cell says what is set here.').waitFor();
    await own
      .locator('figcaption', { hasText: 'Trust it: the points follow the pattern of 2 slits' })
      .waitFor();
    expect(await own.locator('.outputs').textContent()).toContain(`spacing by hand: ${shown}`);
    // Lengths with their uncertainty in the last digits: the form of JCGM 100:2008, 7.2.2 (from memory).
    const fitted = /width ([\d.]+)\([\d.]+\) µm.* spacing ([\d.]+)\(/.exec(
      (await own.locator('.outputs').textContent())!,
    )!;
    expect(Math.abs(Number(fitted[1]) / (truth.width * 1e6) - 1)).toBeLessThan(0.03);
    expect(Math.abs(Number(fitted[2]) / (truth.spacing * 1e6) - 1)).toBeLessThan(0.03);
    await saved(page);
    const cells = readNotebook(readFileSync(join(desk.folder, '02-one-slit.ipynb'), 'utf8')).cells;
    const written = sourceOf(cells.find(({ id }) => id.startsWith('own-'))!);
    expect(written).toContain("pictureProfile('photograph-1.png', {");
  });

  test('axe finds nothing at any size, with each tool', async () => {
    for (const [width, height] of sizes) {
      await page.setViewportSize({ width, height });
      expect([width, await findings(page)]).toEqual([width, []]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
        width,
      );
    }
    for (const tool of ['Band', 'Scale', 'Leave out']) {
      await takeTool(page, tool);
      expect([tool, await findings(page)]).toEqual([tool, []]);
    }
    await page.setViewportSize({ width: 1440, height: 1000 });
  });

  test('by keys alone: a mark on the picture, moved on the curve, taken away; a part left out', async () => {
    await takeTool(page, 'Mark places');
    await page.locator('.photograph .field').focus();
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Enter');
    const sixth = page.getByRole('slider', { name: /^Bright place 6/ });
    const before = Number(await sixth.getAttribute('aria-valuenow'));
    await sixth.focus();
    await page.keyboard.press('ArrowRight');
    await expect
      .poll(async () => Number(await sixth.getAttribute('aria-valuenow')))
      .toBeGreaterThan(before);
    await page.keyboard.press('Delete');
    await sixth.waitFor({ state: 'detached' });
    await takeTool(page, 'Leave out');
    await page.locator('.photograph .field').focus();
    await page.keyboard.press('Enter');
    for (let k = 0; k < 3; k++) await page.keyboard.press('Shift+ArrowDown');
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Take away rectangle 1' }).click();
    await expect.poll(() => page.locator('.photograph rect.mask').count()).toBe(0);
  });

  test('what the cell says is on the picture again after a reload, and one step takes the lines back', async () => {
    const shown = await shownLength(page);
    await saved(page);
    await page.reload();
    await own.locator('.cm-content').waitFor();
    await own.getByRole('button', { name: /Photograph/ }).click();
    await page.locator('.photograph .plane image').waitFor();
    expect(await shownLength(page)).toBe(shown);
    await page.locator('.photograph .tools label', { hasText: 'Band' }).click();
    await handle('Width of the band').focus();
    await page.keyboard.press('Shift+ArrowRight');
    const source = () => own.locator('.cm-content').textContent();
    const before = await source();
    await page.getByRole('button', { name: 'Write into the cell', exact: true }).click();
    await page.waitForFunction(
      (text) =>
        document.querySelector<HTMLElement>('[data-cell^="own-"] .cm-content')?.textContent !==
        text,
      before,
    );
    await own.locator('.cm-content').focus();
    await page.keyboard.press('ControlOrMeta+z');
    expect(await source()).toBe(before);
  });

  test.each([
    ['a HEIC', Buffer.from('\0\0\0\x18ftypheic\0\0\0\0', 'latin1'), /most compatible format/],
    ['text', Buffer.from('no picture at all'), /must be PNG or JPEG/],
    [
      'a JPEG that was cut off',
      Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16, 74, 70]),
      /JPEG|damaged|opened/,
    ],
  ])('%s is refused with what to do', async (_, buffer, words) => {
    const other = page.getByRole('button', { name: 'Another picture' });
    if (await other.isVisible()) await other.click();
    await page
      .locator('.photograph input[type=file]')
      .first()
      .setInputFiles({ name: 'a.jpg', mimeType: 'image/jpeg', buffer });
    const alert = page.locator('.photograph [role=alert]', { hasText: words });
    await alert.waitFor();
    expect(readdirSync(desk.folder).filter((name) => name.startsWith('photograph'))).toHaveLength(
      1,
    );
  });

  describe('on a tablet, by fingers alone', () => {
    const paper = truthOf('025-phone.jpg');
    let touch: (
      kind: 'Start' | 'Move' | 'End',
      ...at: readonly { x: number; y: number }[]
    ) => Promise<unknown>;
    const tap = async (at: { x: number; y: number }) => {
      await touch('Start', at);
      await touch('End');
    };

    test('a picture that is dropped on the panel is taken', async () => {
      await page.setViewportSize({ width: 820, height: 1180 });
      const session = await page.context().newCDPSession(page);
      await session.send('Emulation.setTouchEmulationEnabled', {
        enabled: true,
        maxTouchPoints: 5,
      });
      touch = (kind, ...at) =>
        session.send('Input.dispatchTouchEvent', {
          type: `touch${kind}`,
          touchPoints: at.map(({ x, y }, id) => ({ x, y, id })),
        });
      const file = readFileSync(photographFile(paper.file)).toString('base64');
      const dataTransfer = await page.evaluateHandle((text) => {
        const data = new DataTransfer();
        const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
        data.items.add(new File([bytes], 'squared paper.jpg', { type: 'image/jpeg' }));
        return data;
      }, file);
      await page.locator('.photograph .choose').dispatchEvent('drop', { dataTransfer });
      await page.locator('.photograph .plane image').waitFor();
      expect(readdirSync(desk.folder)).toContain('photograph-2.png');
    });

    test('two fingers that part zoom in, and what is between them stays; one drags an end of the band', async () => {
      await takeTool(page, 'Band');
      const zoom = page.locator('.photograph .zooming .note');
      const whole = await zoom.textContent();
      // Beside the band, so that no handle is met.
      const [x, y] = [paper.middle[0], paper.middle[1] + 150];
      const at = await seenAt(page, [x, y]);
      const fingers = (half: number) => [
        { x: at.x - half, y: at.y },
        { x: at.x + half, y: at.y },
      ];
      await touch('Start', ...fingers(30));
      for (const half of [40, 50, 60]) await touch('Move', ...fingers(half));
      await touch('End');
      await expect.poll(() => zoom.textContent()).not.toBe(whole);
      const percent = Number.parseInt((await zoom.textContent()) ?? '', 10);
      // Twice as far apart, twice as large, but for the rounding to whole per cent.
      expect(Math.abs(percent / Number.parseInt(whole ?? '', 10) - 2)).toBeLessThan(0.15);
      const after = await seenAt(page, [x, y]);
      expect(Math.hypot(after.x - at.x, after.y - at.y)).toBeLessThan(25);
      await page.getByRole('button', { name: /^All/ }).click();
      await expect.poll(() => zoom.textContent()).toBe(whole);

      const before = await placeOf('First end of the band');
      const [from, to] = [
        await seenAt(page, [before[0], before[1]]),
        await seenAt(page, [before[0] + 60, before[1] + 20]),
      ];
      await touch('Start', from);
      await touch('Move', { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 });
      await touch('Move', to);
      await touch('End');
      await expect
        .poll(async () => {
          const [endX, endY] = await placeOf('First end of the band');
          return Math.hypot(endX - before[0] - 60, endY - before[1] - 20);
        })
        .toBeLessThan(3);
      await page.getByRole('button', { name: 'Find it again' }).click();
      await expect.poll(() => placeOf('First end of the band')).toEqual(before);
    });

    test('four taps on squared paper undo the perspective: the fit has the slits', async () => {
      await takeTool(page, 'Scale');
      await page.getByLabel('Scale by').selectOption('paper');
      const [a, b, c] = paper.clicks;
      await page.getByLabel('from 1 to 2').fill(String(1e3 * (b.place[0] - a.place[0])));
      await page.getByLabel('from 2 to 3').fill(String(1e3 * (c.place[1] - b.place[1])));
      for (const [k, { pixel }] of paper.clicks.entries()) {
        await tap(await seenAt(page, pixel));
        await page.getByText(`${k + 1} of 4 set`).waitFor();
      }
      await page
        .getByRole('textbox', { name: 'Wavelength nm', exact: true })
        .fill((paper.wavelength * 1e9).toFixed(1));
      await page
        .getByRole('textbox', { name: 'slits to screen m' })
        .fill(paper.distance.toFixed(4));
      await page.getByRole('button', { name: 'Write into the cell and run' }).click();
      const figure = own.locator('figcaption', { hasText: 'Trust it: the points follow' });
      await own.getByText('photograph-2.png').first().waitFor();
      await figure.filter({ hasText: '2 slits' }).waitFor();
      const told = /width ([\d.]+)\([\d.]+\) µm.* spacing ([\d.]+)\(/;
      await expect
        .poll(async () => {
          const [, width, spacing] = told.exec((await figure.textContent()) ?? '') ?? [];
          return Math.max(
            Math.abs(Number(width) / (paper.width * 1e6) - 1),
            Math.abs(Number(spacing) / (paper.spacing * 1e6) - 1),
          );
        })
        .toBeLessThan(0.03);
    });
  });

  test('the scripts of the page had nothing to complain of', () => {
    expect(faults).toEqual([]);
  });
});
