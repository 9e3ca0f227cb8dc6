import { readFileSync } from 'node:fs';
import { decode } from 'fast-png';
import type { BrowserContext, Page } from 'playwright-core';
import { beforeEach, describe, expect, test } from 'vitest';
import { openBench, openSpectrometer, painted } from './bench-stage';
import { findings } from './find-faults';
import { onStage } from './on-stage';
import { newPage, skip } from './stage';

const screens = [
  [1280, 720],
  [1920, 1080],
] as const;

describe.skipIf(skip)('the bench before a class', () => {
  let page: Page;
  let context: BrowserContext;

  // The page's policy lets no foreign script in, axe included.
  const desk = onStage({ bypassCSP: true }, async (made) => {
    context = made;
    ({ page } = await newPage(made));
    await page.goto(desk.address);
  });
  beforeEach(() => openBench(page, desk));

  const words = (of = page) => of.locator('.steps p');
  const value = (name: string) => page.getByLabel(name, { exact: true }).inputValue();
  const enter = () => page.getByRole('button', { name: 'For a class' }).click();
  const leave = () => page.getByRole('button', { name: 'Leave', exact: true }).click();

  /** Texts that a person in the last row could not read, and whatever does not fit on the screen. */
  const faults = () =>
    page.evaluate(() => {
      const found: string[] = [];
      const walker = document.createTreeWalker(
        document.querySelector('.bench')!,
        NodeFilter.SHOW_TEXT,
      );
      for (let node = walker.nextNode(); node; node = walker.nextNode()) {
        const text = node.textContent?.trim();
        const box = node.parentElement;
        if (!text || !box?.checkVisibility()) continue;
        const scale = box instanceof SVGGraphicsElement ? box.getScreenCTM()!.a : 1;
        const size = Number.parseFloat(getComputedStyle(box).fontSize) * scale;
        if (size < 24) found.push(`${size.toFixed(1)} px: ${text}`);
        const range = document.createRange();
        range.selectNodeContents(node);
        for (const { left, right, top, bottom } of range.getClientRects())
          if (left < 0 || right > innerWidth + 0.5 || top < -0.5 || bottom > innerHeight + 0.5)
            found.push(`off the screen: ${text}`);
      }
      const { scrollHeight, scrollWidth } = document.documentElement;
      if (scrollHeight > innerHeight || scrollWidth > innerWidth) found.push('it scrolls');
      return found;
    });

  test.each(screens)(
    'fills %i × %i without scrolling, in letters that the last row reads, at every step',
    async (width, height) => {
      await page.setViewportSize({ width, height });
      await enter();
      await page.locator('.class-foot').waitFor();
      const curve = () =>
        page.locator('.curve').evaluate((box) => box.getBoundingClientRect().height);
      expect(await faults()).toEqual([]);
      for (const below of ['paths', 'colour', 'drawing', 'nothing', 'arrows']) {
        await page.keyboard.press('a');
        await page.locator(`.bench[data-third="${below}"]`).waitFor();
        expect(await faults()).toEqual([]);
        expect(await curve()).toBeGreaterThan(120);
      }
      for (let i = 1; i <= 12; i++) {
        for (const phase of ['ask', 'seen', 'why']) {
          await page.keyboard.press('PageDown');
          await words()
            .locator('b', { hasText: `${i} of 12: ` })
            .waitFor();
          expect([i, phase, await faults()]).toEqual([i, phase, []]);
          expect(await page.locator('.film-reader').count()).toBe(phase === 'ask' ? 0 : 1);
        }
      }
      await leave();
      await page.locator('.class-foot').waitFor({ state: 'detached' });
    },
  );

  test.each(screens)(
    'a spectrometer fills %i × %i without scrolling, in letters that the last row reads',
    async (width, height) => {
      await page.setViewportSize({ width, height });
      for (const light of ['sodium', 'sunlight', 'mercury']) {
        await openSpectrometer(
          page,
          desk,
          `stand=spectrometer&light=${light}&readings=true&sourceWidth=20um&telescope=20.7&vernier=10sec`,
        );
        await enter();
        await page.locator('.class-foot').waitFor();
        expect([light, await faults()]).toEqual([light, []]);
        const field = await page.locator('.eyepiece .field').boundingBox();
        expect(field!.width).toBeGreaterThan(0.4 * height);
        expect(Math.abs(field!.width - field!.height)).toBeLessThan(1);
        await leave();
      }
    },
  );

  test.each(screens)(
    'without slits, or without a lens, all fits on %i × %i',
    async (width, height) => {
      await page.setViewportSize({ width, height });
      for (const address of [
        'stand=open&sourceWidth=50um&blur=20um',
        'stand=screen&screenDistance=20mm&span=2mm&beam=distance&light=sunlight',
        'beam=distance&light=laser&sourceWidth=100um',
      ]) {
        await openBench(page, desk, address);
        await enter();
        await page.locator('.class-foot').waitFor();
        expect([address, await faults()]).toEqual([address, []]);
        expect(await page.locator('.ends-words').isVisible()).toBe(true);
        const curve = await page.locator('.curve').boundingBox();
        expect(curve!.height).toBeGreaterThan(110);
        await leave();
      }
    },
  );

  test('passes axe while asked, shown and with the controls called, in a light and a dark room', async () => {
    await page.setViewportSize({ width: 1280, height: 720 });
    await enter();
    for (const room of ['light', 'dark']) {
      await page.locator(`.bench[data-room="${room}"]`).waitFor();
      expect(await findings(page)).toEqual([]);
      for (const shown of ['.covered', '.film-reader']) {
        await page.keyboard.press('ArrowRight');
        await page.locator(shown).waitFor();
        expect(await findings(page)).toEqual([]);
      }
      await page.keyboard.press('c');
      await page.locator('.moved').waitFor();
      expect(await findings(page)).toEqual([]);
      await page.keyboard.press('Escape');
      await page.locator('.moved').waitFor({ state: 'hidden' });
      // From what is shown to why, so that the next question follows.
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('d');
    }
    await leave();
  });

  test('nothing of a step is to be seen before it was asked; what was painted hangs above what is shown', async () => {
    await page.setViewportSize({ width: 1280, height: 720 });
    await page.getByRole('button', { name: 'Begin the steps' }).click();
    await page.locator('.covered').waitFor();
    for (const hidden of ['canvas.strip', '.curve', '.readout', '.phasors', '.legend'])
      expect(await page.locator(`.seen ${hidden}`).count()).toBe(0);
    const film = page.getByRole('slider', { name: 'Empty film' });
    await film.press('Shift+ArrowLeft');
    await film.press(' ');
    const { x, y, width, height } = (await film.boundingBox())!;
    await page.mouse.move(x + 0.8 * width, y + height / 2);
    await page.mouse.down();
    await page.mouse.up();
    await page.getByRole('button', { name: 'Show it' }).click();
    const strip = page.locator('.was-expected canvas');
    await strip.waitFor();
    const alpha = await strip.evaluate((canvas: HTMLCanvasElement) =>
      Array.from(canvas.getContext('2d')!.getImageData(0, 0, canvas.width, 1).data).filter(
        (_, i) => i % 4 === 3,
      ),
    );
    const brightAt = (share: number) => alpha[Math.round(share * alpha.length)];
    expect(brightAt(0.45)).toBeGreaterThan(60);
    expect(brightAt(0.8)).toBeGreaterThan(60);
    expect([brightAt(0.2), brightAt(0.6)]).toEqual([0, 0]);
    await page.getByRole('button', { name: 'And why?' }).click();
    expect(await words().textContent()).toContain('Bright where the two paths differ');
  });

  test('the steps lead from a pair of slits to slits out of place and back, and a reload stays', async () => {
    const back = page.getByRole('button', { name: 'Step back' });
    expect(await back.isDisabled()).toBe(true);
    await page.getByRole('button', { name: 'Begin the steps' }).click();
    expect(await value('Number of slits')).toBe('2');
    const main = page.locator('.steps button.main');
    const titles = new Set<string | null>();
    while (await main.isEnabled()) {
      titles.add(await words().locator('b').textContent());
      await main.click();
    }
    expect(titles.size).toBe(12);
    expect(await value('Ruling error')).toBe('6 µm');
    await page.reload();
    await words().getByText('12 of 12').waitFor();
    expect(await value('Ruling error')).toBe('6 µm');
    expect(await page.getByRole('alert').count()).toBe(0);
    for (let i = 0; i < 3; i++) await back.click();
    await words().getByText('11 of 12').waitFor();
    expect(await value('Ruling error')).toBe('0 µm');
    expect(await page.getByLabel('Blocked slit').inputValue()).toBe('6');
    await page.getByRole('button', { name: 'Leave the steps' }).click();
    await page.getByRole('button', { name: 'Begin the steps' }).waitFor();
    expect(await page.getByLabel('Blocked slit').inputValue()).toBe('6');
  });

  test('layers are switched by their keys, kept in the link, and what changed is said', async () => {
    await page.setViewportSize({ width: 1280, height: 720 });
    await enter();
    const pressed = (name: string) =>
      page
        .locator('.moved')
        .getByRole('button', { name, exact: true })
        .getAttribute('aria-pressed');
    await page.keyboard.press('6');
    await page.locator('figure.paths').waitFor();
    await page.locator('.bench[data-third="paths"]').waitFor();
    for (const key of ['1', '3', '4', '5', '7']) await page.keyboard.press(key);
    await page.locator('figure.colours').waitFor();
    expect(await faults()).toEqual([]);
    await page.waitForFunction(() =>
      location.hash.includes('layers=envelope,missing,wavelengths,paths,colour'),
    );
    await page.reload();
    await page.locator('figure.colours').waitFor();
    await enter();
    await page.keyboard.press('c');
    await page.locator('.moved').waitFor();
    expect(await pressed('Curve before')).toBe('false');
    expect(await pressed('Envelope of one slit')).toBe('true');
    await page.getByLabel('Number of slits: more').click();
    await page
      .locator('.aloud')
      .getByText('Number of slits 4, before 3. Film strip of 4')
      .waitFor();
    await leave();
  });

  test('a click latches the hairline, a second one measures from it', async () => {
    await page.setViewportSize({ width: 1280, height: 900 });
    const film = page.locator('.film-reader');
    const { x, y, width } = (await film.boundingBox())!;
    const side = await film.evaluate((box) => Number.parseFloat(getComputedStyle(box).paddingLeft));
    const at = (mm: number) => x + side + (mm / 16 + 0.5) * (width - 2 * side);
    await page.mouse.click(at(1), y + 40);
    await page.locator('.hair[data-latched=true]').waitFor();
    await page.mouse.click(at(4), y + 40);
    const told = (await page.locator('.hairlines strong').textContent()) ?? '';
    const [mm, minutes] = [...told.matchAll(/[\d.]+/g)].map(([number]) => Number(number));
    // From 1 mm to 4 mm behind 300 mm, arctangents worked by hand: 45.835′ − 11.459′ = 34.376′; a pixel is 0.02 mm.
    expect(Math.abs(mm - 3)).toBeLessThan(0.05);
    expect(Math.abs(minutes - 34.376)).toBeLessThan(0.6);
    await film.press('Enter');
    await page.locator('.hair[data-latched=false]').waitFor();
    expect(await page.locator('.hairlines strong').count()).toBe(0);
  });

  test('what is shown is saved for slides as SVG, PNG and film, with its sentence', async () => {
    await openBench(page, desk, 'slits=2&light=laser&layers=ghost,envelope,paths');
    const sentence = await page.locator('.sentence').textContent();
    const save = async (name: string) => {
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        page.locator('.slides').getByRole('button', { name, exact: true }).click(),
      ]);
      await page.locator('.slides').getByText('Saved among your downloads.').waitFor();
      return readFileSync(await download.path());
    };
    const svg = (await save('SVG')).toString();
    expect(svg.replace(/<\/text><text [^>]*>/g, ' ')).toContain(sentence);
    const { data, width, height, channels } = decode(await save('PNG'));
    expect([width, height]).toEqual([1920, 1080]);
    // The film of the slide against the film on the screen, in the middle and at whole positions beside it.
    const film = await painted(page);
    for (const i of [600, 560, 640, 420, 300]) {
      const from = Math.floor(96 + ((i + 0.5) / 1201) * 1728);
      const at = channels * (190 * width + from);
      const near = film.slice(3 * (i - 2), 3 * (i + 3));
      for (const part of [0, 1, 2]) {
        const around = near.filter((_, k) => k % 3 === part);
        expect(data[at + part]).toBeGreaterThanOrEqual(Math.min(...around) - 6);
        expect(data[at + part]).toBeLessThanOrEqual(Math.max(...around) + 6);
      }
    }
    expect(await sizeOfFilm(await save('Film of the slits growing'))).toEqual([1280, 720]);
  });

  /** What the browser itself plays. */
  const sizeOfFilm = (webm: Buffer) =>
    page.evaluate(async (bytes) => {
      const film = document.createElement('video');
      film.muted = true;
      film.src = URL.createObjectURL(new Blob([new Uint8Array(bytes)], { type: 'video/webm' }));
      await new Promise((done, fail) => {
        film.onloadeddata = done;
        film.onerror = () => fail(new Error(film.error?.message));
      });
      return [film.videoWidth, film.videoHeight];
    }, Array.from(webm));

  test('a computer that is slow to take the first picture films all the slits as they grow', async () => {
    await openBench(page, desk, 'slits=2&light=laser');
    // No picture is taken before the film of a quick computer would be over: two slits, 0.9 s each, and 1.5 s at its end.
    await page.evaluate(() => {
      const { captureStream } = HTMLCanvasElement.prototype;
      HTMLCanvasElement.prototype.captureStream = function () {
        HTMLCanvasElement.prototype.captureStream = captureStream;
        const { width, height } = this;
        const late = Object.assign(document.createElement('canvas'), { width, height });
        const take = () => {
          late.getContext('2d')!.drawImage(this, 0, 0);
          requestAnimationFrame(take);
        };
        setTimeout(take, 5000);
        return captureStream.call(late);
      };
    });
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Film of the slits growing' }).click(),
      page.locator('.schematic').getByText('1 slit').first().waitFor(),
    ]);
    expect(await sizeOfFilm(readFileSync(await download.path()))).toEqual([1280, 720]);
  });

  /** Letters that stand out less than 4.5 to 1 from what is behind them, by WCAG 2.2's formula; what is drawn on the curve too. */
  const pale = () =>
    page.evaluate(() => {
      const canvas = Object.assign(document.createElement('canvas'), { width: 1, height: 1 });
      const context = canvas.getContext('2d', { willReadFrequently: true })!;
      const parts = (colour: string) => {
        context.clearRect(0, 0, 1, 1);
        context.fillStyle = colour;
        context.fillRect(0, 0, 1, 1);
        const [r, g, b, a] = context.getImageData(0, 0, 1, 1).data;
        return { rgb: [r, g, b], a: a / 255 };
      };
      const over = (rgb: number[], a: number, ground: number[]) =>
        rgb.map((part, i) => a * part + (1 - a) * ground[i]);
      const ground = (box: Element | null): number[] => {
        if (!box) return [255, 255, 255];
        const { rgb, a } = parts(getComputedStyle(box).backgroundColor);
        return a === 1 ? rgb : over(rgb, a, ground(box.parentElement));
      };
      const luminance = (rgb: number[]) => {
        const [r, g, b] = rgb.map((part) => {
          const share = part / 255;
          return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
      };
      const contrast = (one: number[], other: number[]) => {
        const [dark, light] = [luminance(one), luminance(other)].sort((a, b) => a - b);
        return (light + 0.05) / (dark + 0.05);
      };
      const found: string[] = [];
      const bench = document.querySelector('.bench')!;
      const walker = document.createTreeWalker(bench, NodeFilter.SHOW_TEXT);
      for (let node = walker.nextNode(); node; node = walker.nextNode()) {
        const box = node.parentElement!;
        const text = node.textContent?.trim();
        if (!text || !box.checkVisibility() || box.closest('.aloud, .skip, :disabled')) continue;
        const { color, fill } = getComputedStyle(box);
        let opacity = 1;
        for (let at: Element | null = box; at; at = at.parentElement)
          opacity *= Number(getComputedStyle(at).opacity);
        const behind = ground(box);
        const { rgb, a } = parts(box instanceof SVGElement ? fill : color);
        const ratio = contrast(over(rgb, a * opacity, behind), behind);
        if (ratio < 4.5) found.push(`${ratio.toFixed(2)}: ${text}`);
      }
      const curve = document.querySelector('.curve');
      if (curve) {
        const style = getComputedStyle(curve);
        const of = (name: string) => parts(style.getPropertyValue(name)).rgb;
        for (const name of ['--ink', '--soft', '--blue', '--envelope']) {
          const ratio = contrast(of(name), of('--paper'));
          if (ratio < 4.5) found.push(`${ratio.toFixed(2)}: ${name} on the curve`);
        }
      }
      return found;
    });

  /** The darkest and the lightest ink on the curve, 0 to 255. */
  const inks = () =>
    page.locator('.curve canvas').evaluate((canvas: HTMLCanvasElement) => {
      const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
      const found: number[] = [];
      for (let i = 0; i < data.length; i += 4)
        if (data[i + 3] === 255) found.push((data[i] + data[i + 1] + data[i + 2]) / 3);
      return [Math.min(...found), Math.max(...found)];
    });

  test('whatever is read stands out, in a light and a dark room, in colours of the reader’s own, and on paper', async () => {
    await page.setViewportSize({ width: 1280, height: 720 });
    await openBench(
      page,
      desk,
      'slits=5&width=50um&layers=ghost,envelope,missing,wavelengths,paths,colour',
    );
    await enter();
    for (const room of ['light', 'dark']) {
      await page.locator(`.bench[data-room="${room}"]`).waitFor();
      for (const below of ['paths', 'colour', 'drawing', 'nothing', 'arrows']) {
        await page.keyboard.press('a');
        await page.locator(`.bench[data-third="${below}"]`).waitFor();
        expect([room, below, await pale()]).toEqual([room, below, []]);
      }
      await page.keyboard.press('PageDown');
      await page.locator('.covered').waitFor();
      expect([room, 'ask', await pale()]).toEqual([room, 'ask', []]);
      await page.keyboard.press('PageDown');
      await page.locator('.film-reader').waitFor();
      await page.keyboard.press('c');
      await page.locator('.moved').waitFor();
      expect([room, 'controls', await pale()]).toEqual([room, 'controls', []]);
      await page.keyboard.press('Escape');
      await page.keyboard.press('PageDown');
      await page.keyboard.press('d');
    }
    await page.locator('.bench[data-room="light"]').waitFor();
    await page.keyboard.press('d');
    await page.locator('.bench[data-room="dark"]').waitFor();
    await leave();
    await page.locator('.class-foot').waitFor({ state: 'detached' });
    await expect.poll(async () => (await inks())[0]).toBeGreaterThan(40);
    await page.emulateMedia({ media: 'print' });
    await expect.poll(inks).toEqual([expect.closeTo(36, -1), expect.any(Number)]);
    expect(await pale()).toEqual([]);
    await page.emulateMedia({ media: 'screen', forcedColors: 'active' });
    await expect.poll(inks).toEqual([0, expect.any(Number)]);
    expect(await pale()).toEqual([]);
    await page.emulateMedia({ media: null, forcedColors: null });
  });

  test('from 761 to 860 pixels the film stays in sight while sliders are moved below it', async () => {
    for (const width of [761, 860]) {
      await page.setViewportSize({ width, height: 700 });
      await openBench(page, desk);
      const slider = page.getByLabel('Camera, focal length, slider');
      await slider.scrollIntoViewIfNeeded();
      await slider.focus();
      const seen = await page.evaluate(() => {
        const film = document.querySelector('.film-reader')!;
        const { top, left, width } = film.getBoundingClientRect();
        const here = [0.02, 0.5, 0.98].map((share) =>
          film.contains(document.elementFromPoint(left + share * width, top + 6)),
        );
        return { top, here };
      });
      expect(seen).toEqual({ top: expect.closeTo(0, 0), here: [true, true, true] });
    }
  });

  test('whether a class will see it is said, and a proposal goes to the bench and on paper', async () => {
    await page.setViewportSize({ width: 1280, height: 900 });
    await openBench(page, desk, 'slits=2&spacing=160um&sourceWidth=1000um');
    await page.getByRole('button', { name: 'In a hall' }).click();
    const sights = page.locator('.will-show > .sights li');
    await sights.filter({ hasText: 'The source slit is too wide' }).first().waitFor();
    await page.getByLabel('Farthest seat, m').fill('far');
    await page.locator('.will-show').getByText('Farthest seat: "far" is no number').waitFor();
    await page.getByLabel('Farthest seat, m').fill('20');
    const planning = page.locator('.planning');
    await planning.getByLabel('weak maxima between orders').check();
    await planning.getByLabel('mercury lamp, green filter').check();
    await planning.getByLabel('filament lamp', { exact: true }).uncheck();
    await planning.getByLabel('filament lamp, green filter').uncheck();
    await planning.getByRole('button', { name: 'Propose' }).click();
    const sheet = page.locator('.plan-sheet');
    await sheet.getByText('mercury lamp, green filter').waitFor();
    expect(await sheet.locator('.caution').textContent()).toContain('holds mercury');
    expect(await findings(page)).toEqual([]);
    await sheet.getByRole('button', { name: 'Set it on the bench' }).first().click();
    await page.locator('.schematic').getByText('mercury lamp').waitFor();
    await sights.filter({ hasText: 'Will show: weak maxima between orders.' }).waitFor();
    // What makes light parallel is the bench's own choice, and goes there and back with a proposal.
    const choose = (name: string, option: string) =>
      page.getByLabel(name, { exact: true }).selectOption({ label: option });
    await choose('Parallel by', 'distance alone');
    await page.locator('.will-show > .of').getByText('at 3 m without a lens').waitFor();
    await choose('In the light', 'slits, and a screen without a lens');
    await planning.getByLabel('Source slit to slits, mm').fill('4000');
    await planning.getByLabel('Slits to screen, mm').fill('2500');
    await choose('Parallel by', 'a lens, the collimator');
    await planning.getByLabel('Collimators, mm').waitFor();
    await choose('Parallel by', 'distance alone');
    await planning.getByLabel('Source slit to slits, mm').waitFor();
    await planning.getByRole('button', { name: 'Propose' }).click();
    await sheet.getByText('parallel light by distance alone').waitFor();
    await choose('In the light', 'slits, and film behind a lens');
    await choose('Parallel by', 'a lens, the collimator');
    await sheet.getByRole('button', { name: 'Set it on the bench' }).first().click();
    await page
      .locator('.will-show > .of')
      .getByText('at 4 m without a lens, screen at 2.5 m')
      .waitFor();
    expect(await page.getByLabel('Parallel by').inputValue()).toBe('distance');
    await page.evaluate(() => {
      document.documentElement.dataset.prints = 'plan';
    });
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.film-reader').isVisible()).toBe(false);
    expect(await sheet.isVisible()).toBe(true);
    expect(await sheet.locator('.caution').isVisible()).toBe(true);
    await page.emulateMedia({ media: null });
  });

  test('F flips between what is shown and what was before', async () => {
    await page.setViewportSize({ width: 1280, height: 720 });
    const before = await painted(page);
    await page.getByLabel('Number of slits: more').click();
    await expect.poll(() => painted(page)).not.toEqual(before);
    const after = await painted(page);
    await enter();
    await page.keyboard.press('f');
    await expect.poll(() => painted(page)).toEqual(before);
    await page.keyboard.press('f');
    await expect.poll(() => painted(page)).toEqual(after);
    await leave();
  });

  test('a second window shows what the first is set to, and its clicker steps both', async () => {
    const coming = context.waitForEvent('page');
    await page.getByRole('button', { name: 'Second window' }).click();
    const second = await coming;
    await second.locator('.class-foot').waitFor();
    await page.getByLabel('Number of slits: more').click();
    await second.locator('.class-foot').getByText('4 slits').waitFor();
    await expect.poll(async () => await painted(second)).toEqual(await painted(page));
    await second.keyboard.press('PageDown');
    await words().getByText('1 of 12').waitFor();
    await words(second).getByText('1 of 12').waitFor();
    await page.getByRole('slider', { name: 'Empty film' }).press(' ');
    await page.getByRole('button', { name: 'Show it' }).click();
    await second.locator('.was-expected').waitFor();
    await page.getByRole('button', { name: 'Dark room' }).click();
    await second.locator('.bench[data-room="dark"]').waitFor();
    // Loaded anew it finds its way back by itself.
    await second.reload();
    await words(second).getByText('1 of 12').waitFor();
    await second.locator('.bench[data-room="dark"]').waitFor();
    await second.close();
  });
});
