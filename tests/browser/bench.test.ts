import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { readAddress } from '../../kernel-lib/figures/bench/address';
import { benchPattern } from '../../kernel-lib/figures/bench/compute';
import { benchTelescope } from '../../kernel-lib/figures/bench/telescope';
import { farthestApart, openBench, openSpectrometer, painted } from './bench-stage';
import { findings, sizes } from './find-faults';
import { onStage } from './on-stage';
import { newPage, skip } from './stage';

describe.skipIf(skip)('the live bench', () => {
  let page: Page;
  let faults: string[];

  const open = (setting?: string) => openBench(page, desk, setting);
  /** What the address says; it follows the last move a little later. */
  const address = () => readAddress(new URL(page.url()).hash);
  const setting = () => address().setting;

  // The page's policy lets no foreign script in, axe included.
  const desk = onStage({ bypassCSP: true }, async (context) => {
    ({ page, faults } = await newPage(context));
    await page.goto(desk.address);
  });

  test.each([
    'slits=20&exposure=10',
    'light=mercury&slits=4&blocked=2&scale=log',
    'light=laser&wavelength=532nm&slits=10&sourceWidth=80um&incidence=10',
    'filter=true&bandCentre=620nm&slits=6&placeError=3um&ruling=5',
  ])('paints the very colours that the kernel computes: %s', async (address) => {
    await open(address);
    const read = readAddress(address);
    expect(read.faults).toEqual([]);
    const { srgb } = benchPattern(read.setting).strip;
    const seen = await painted(page);
    expect(seen).toHaveLength(srgb.length);
    // One level of 255, should the two engines round a sine differently.
    expect(farthestApart(seen, srgb)).toBeLessThanOrEqual(1);
    expect(Math.max(...seen)).toBeGreaterThan(200);
  });

  test.each(sizes)(
    'passes axe at %i × %i, in a light and a dark room, with a fault and pins',
    async (width, height) => {
      await page.setViewportSize({ width, height });
      await open();
      await page.getByRole('button', { name: 'Pin 1, 2, 3, 5, 8, 16 slits' }).click();
      await page.getByLabel('Spacing', { exact: true }).fill('3 µm');
      await page.getByLabel('Spacing', { exact: true }).press('Enter');
      await page.getByRole('alert').waitFor();
      expect(await findings(page)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
        width,
      );
      await page.getByRole('button', { name: 'Dark room' }).click();
      expect(await findings(page)).toEqual([]);
    },
  );

  test('by keyboard alone: a slider, a typed value, the place on the film', async () => {
    await page.setViewportSize({ width: 1440, height: 900 });
    await open('light=laser&wavelength=500nm&slits=2&width=20um&spacing=100um&focalLength=500mm');
    await page.getByLabel('Number of slits, slider').focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Tab');
    await page.keyboard.press('ControlOrMeta+a');
    await page.keyboard.type('4');
    await page.keyboard.press('Enter');
    await expect.poll(() => setting().slits).toBe(4);

    const place = page.getByRole('slider', { name: /^Place on the film/ });
    await place.focus();
    await page.keyboard.press('Home');
    await expect.poll(() => place.getAttribute('aria-valuenow')).toBe('0');
    expect(await page.locator('.readout').textContent()).toContain('0° 00′ 00″');
    // f tan(arcsin(mλ/d)) = 2.500 mm for m = 1: sin θ = 0.005, θ = 17′ 11.3″ (by hand).
    for (let i = 0; i < 150; i++) await page.keyboard.press('ArrowRight');
    const words = await page.locator('.readout').textContent();
    expect(words).toContain('2.000 mm');
    // arctan(2/500) = 0.0040000 rad = 825.05″ = 13′ 45″; s d/λ = 0.0039999680 · 200 = 0.80.
    expect(words).toContain('0° 13′ 45″');
    expect(words).toMatch(/0\.80/);
  });

  test('a value that does not fit is answered beside its field, and the last good one stays', async () => {
    await open();
    const before = await painted(page);
    const field = page.getByLabel('Slit width', { exact: true });
    await field.fill('150');
    await field.press('Enter');
    expect(await page.getByRole('alert').textContent()).toContain('The slits would overlap');
    expect(await field.getAttribute('aria-invalid')).toBe('true');
    expect(setting().width).toBe(40e-6);
    expect(await painted(page)).toEqual(before);
    await field.press('Escape');
    expect(await field.inputValue()).toBe('40 µm');
    expect(await page.getByRole('alert').count()).toBe(0);
  });

  test('with laser light, as it opens, a weak line is painted weak and nothing is burnt out', async () => {
    await open('light=laser&slits=3');
    // The subsidiary maximum of three slits, half way to the first order, has (1/9) sinc²(0.2) = 9.7 % of the
    // middle (common practice, no source): s = λ/(2 · 100 µm), 0.9492 mm at f = 300 mm. A screen gives 9.7 % of
    // its light at level 88 of 255 (IEC 61966-2-1, from memory).
    const red = (await painted(page)).filter((_, i) => i % 3 === 0);
    const at = (x: number) => red[Math.round((x / 16 + 0.5) * (red.length - 1))];
    expect(at(0)).toBe(255);
    expect(Math.abs(at(0.9492) - 88)).toBeLessThanOrEqual(1);
    expect(await page.locator('.legend [data-line="burnt"]').count()).toBe(0);
    const exposure = page.getByLabel('Exposure', { exact: true });
    await exposure.fill('3');
    await exposure.press('Enter');
    await page.locator('.legend [data-line="burnt"]').waitFor();
  });

  test('slits that touch are said to, and a lamp is read at one of its lines', async () => {
    await open();
    await page.getByLabel('Slit width', { exact: true }).fill('100');
    await page.keyboard.press('Enter');
    await page.getByText('The slits touch: 3 of 100 µm').waitFor();
    await page.getByLabel('Source', { exact: true }).selectOption('mercury');
    const reading = page.getByLabel('Read at wavelength');
    expect(await reading.inputValue()).toBe('546.075');
    const blue = await reading.locator('option', { hasText: /^435\.8/ }).getAttribute('value');
    await reading.selectOption(blue);
    await expect
      .poll(() => page.locator('.legend [data-line="single"]').textContent())
      .toBe('435.83 nm alone');
    await page.getByLabel('Filter with one passband').check();
    expect(await reading.inputValue()).toBe('546.075');
  });

  test.each([
    ['laser', 'nor look at it through a lens or telescope'],
    ['sunlight', 'nor through the camera lens or a telescope'],
    ['filament', 'do not look into the gathered beam'],
    ['sodium', 'a discharge lamp gets hot'],
  ])(
    'the view for a class keeps the caution for %s in sight, and so does paper',
    async (light, words) => {
      await page.setViewportSize({ width: 1280, height: 720 });
      await open(`light=${light}`);
      const foot = page.locator('.foot');
      expect(await foot.isVisible()).toBe(false);
      expect(await page.locator('.moved .caution').textContent()).toContain(words);
      await page.getByRole('button', { name: 'For a class' }).click();
      await foot.waitFor();
      expect(await foot.textContent()).toContain(words);
      const { bottom } = await foot.evaluate((element) => element.getBoundingClientRect());
      const height = await page.evaluate(() => innerHeight);
      expect(bottom).toBeLessThanOrEqual(height + 0.5);
      if (light === 'laser') expect(await findings(page)).toEqual([]);
      await page.getByRole('button', { name: 'Leave' }).click();
      await foot.waitFor({ state: 'hidden' });
      await page.emulateMedia({ media: 'print' });
      expect(await foot.isVisible()).toBe(true);
      await page.emulateMedia({ media: null });
    },
  );

  test('a parameter that moves leaves the pattern before it as a ghost, named in the legend', async () => {
    await open('slits=4');
    const ghost = page.locator('.legend [data-line="ghost"]');
    expect(await ghost.count()).toBe(0);
    await page.getByLabel('Spacing: more').click();
    expect(await ghost.textContent()).toBe('before the last change');
  });

  test('by keyboard everything is reached in turn, and what has the focus can be seen', async () => {
    await open();
    const all = await page
      .locator('a[href], button:enabled, input, select, summary, [tabindex="0"]')
      .count();
    let reached = 0;
    for (;;) {
      await page.keyboard.press('Tab');
      const at = await page.evaluate(() => {
        const here = document.activeElement as HTMLElement;
        return here === document.body ? undefined : here.outerHTML.slice(0, 90);
      });
      if (!at) break;
      // A page scrolls by whole pixels, and lays out by less.
      const seen = await page.evaluate(() => {
        const here = document.activeElement as HTMLElement;
        const { left, right, top, bottom } = here.getBoundingClientRect();
        const within = left >= 0 && right <= innerWidth && top > -1 && bottom < innerHeight + 1;
        return getComputedStyle(here).outlineStyle !== 'none' && within;
      });
      expect.soft([at, seen]).toEqual([at, true]);
      reached += 1;
      expect(reached).toBeLessThanOrEqual(all);
    }
    expect(reached).toBe(all);
  });

  test('a pinned strip stays as it was, and sets the bench back', async () => {
    await open('slits=2');
    await page.getByRole('button', { name: 'Pin this strip' }).click();
    const kept = await painted(page);
    await page.getByLabel('Number of slits: more').click();
    await expect.poll(() => painted(page)).not.toEqual(kept);
    await page.getByRole('button', { name: /^Use this setting: 2 slits/ }).click();
    await expect.poll(() => painted(page)).toEqual(kept);
    await expect.poll(() => setting().slits).toBe(2);
  });

  test('a link that is pasted into the address is taken; what is wrong in it is told', async () => {
    await open('slits=7&width=far');
    expect(await page.getByRole('alert').first().textContent()).toContain(
      'Slit width: "far" is not a number',
    );
    await page.evaluate(() => {
      location.hash = 'slits=9&light=sodium';
    });
    await expect
      .poll(() => page.getByLabel('Number of slits', { exact: true }).inputValue())
      .toBe('9');
  });

  const labels = async () =>
    (await page.locator('.pins li .label b').allTextContents()).map((text) => text.trim());

  test('a link carries the strips to compare, a reload too; taken down they are gone from it', async () => {
    await open('slits=3');
    await page.getByRole('button', { name: 'Pin 1, 2, 3, 5, 8, 16 slits' }).click();
    const before = await labels();
    expect(before).toHaveLength(6);
    await page.getByRole('button', { name: 'Link', exact: true }).click();
    const link = page.locator('.share pre');
    await expect
      .poll(() => link.textContent())
      .toMatch(/&pin=slits:1&pin=slits:2&pin=&pin=slits:5/);
    const text = (await link.textContent())!;
    await page.goto('about:blank');
    await page.goto(text);
    await expect.poll(labels).toEqual(before);
    await expect.poll(() => address().pins.map(({ slits }) => slits)).toEqual([1, 2, 3, 5, 8, 16]);
    await page.reload();
    await expect.poll(labels).toEqual(before);
    await page.getByRole('button', { name: 'Take down: 16 slits', exact: false }).click();
    await expect.poll(() => address().pins.map(({ slits }) => slits)).toEqual([1, 2, 3, 5, 8]);
    await page.getByRole('button', { name: 'Take all down' }).click();
    await expect.poll(() => address().pins).toEqual([]);
  });

  test('a strip that cannot be pinned, or was taken down, is told of among the strips', async () => {
    await open('slits=1&width=150um');
    const series = page.getByRole('button', { name: 'Pin 1, 2, 3, 5, 8, 16 slits' });
    await series.click();
    const why = page.locator('.pins').getByRole('alert');
    expect(await why.textContent()).toMatch(
      /^2, 3, 5, 8 and 16 slits: not pinned\. The slits would overlap/,
    );
    expect(await labels()).toEqual(['1 slit']);
    await open('slits=2');
    await series.click();
    expect(await why.count()).toBe(0);
    await series.click();
    await page.getByRole('button', { name: 'Pin this strip' }).click();
    expect(await why.textContent()).toBe('The oldest strip was taken down: there is room for 12.');
    expect(await labels()).toHaveLength(12);
  });

  test('slits and lenses can be taken away and come back, as the link says', async () => {
    await page.setViewportSize({ width: 1280, height: 720 });
    await open('light=laser&slits=2');
    const stand = page.getByLabel('In the light');
    await stand.selectOption('screen');
    const distance = page.getByLabel('Screen, distance', { exact: true });
    await distance.fill('10 mm');
    await distance.press('Enter');
    // F = w²/λz = (70 µm)²/(632.8 nm · 10 mm) = 0.774 (by hand).
    await page.getByText('Fresnel number 0.77 at 632.8 nm').waitFor();
    await expect.poll(() => setting().screenDistance).toBeCloseTo(0.01, 9);
    await stand.selectOption('open');
    await page.getByText('The image of the source slit is').waitFor();
    expect(await page.getByLabel('Number of slits', { exact: true }).count()).toBe(0);
    expect(await findings(page)).toEqual([]);
    await stand.selectOption('film');
    await page.locator('.phasors').waitFor();
    await expect.poll(() => setting().stand).toBe('film');
    expect(setting().span).toBeCloseTo(16e-3, 9);
  });

  describe('with a grating in a spectrometer', () => {
    const look = (parts: string) =>
      openSpectrometer(page, desk, `stand=spectrometer&sourceWidth=20um&${parts}`);

    test.each([
      'light=sodium&telescope=20.71&field=0.2',
      'light=sunlight&telescope=18&field=4&linesPerMm=1200&ruled=50000',
      'light=mercury&telescope=-30&field=12&linesPerMm=300&ruled=50&filter=true&bandCentre=546nm',
    ])('the eyepiece shows the very colours that the library computes: %s', async (parts) => {
      await look(parts);
      const { srgb } = benchTelescope(setting()).view;
      const seen = await painted(page, '.eyepiece canvas');
      expect(seen).toHaveLength(srgb.length);
      expect(farthestApart(seen, srgb)).toBeLessThanOrEqual(1);
    });

    /** What an eye reads on a vernier as it is drawn: the line before its zero, and the one of its lines that meets a line. */
    const readByEye = (which: number, each: number, least: number) =>
      page
        .locator('.vernier svg.whole')
        .nth(which)
        .evaluate(
          (svg, [main, step]) => {
            const strokes = [
              ...svg
                .querySelector('.scale-lines')!
                .getAttribute('d')!
                .matchAll(/M([-\d.]+) [-\d.]+v([-\d.]+)/g),
            ].map(([, x, length]) => ({ x: Number(x), isVernier: Number(length) > 0 }));
            const circle = strokes.filter(({ isVernier }) => !isVernier).map(({ x }) => x);
            const vernier = strokes.filter(({ isVernier }) => isVernier).map(({ x }) => x);
            const off = vernier.map((x) => Math.min(...circle.map((at) => Math.abs(at - x))));
            const label = [...svg.querySelectorAll('text:not(.of-vernier)')][0];
            const named = Number(label.getAttribute('x'));
            const apart = circle[1] - circle[0];
            const before = circle.filter((x) => x <= vernier[0] + 1e-6).at(-1)!;
            const degrees = Number.parseInt(label.textContent!, 10);
            const lines = Math.round((before - named) / apart);
            return degrees + lines * main + off.indexOf(Math.min(...off)) * step;
          },
          [each, least],
        );

    // The grating equation and the wavelengths in air of NIST (data/SOURCES.md): arcsin(0.6 · 0.5889951) = 20.6952°,
    // arcsin(2 · 0.6 · 0.546075) = 40.9416°; 20° 41.71′, 40° 56.50′.
    test.each([
      [390, 844, 'light=sodium', 1, '1min', 0.5, 1 / 60, 20.6952],
      [1280, 720, 'light=mercury', 2, '30sec', 1 / 3, 1 / 120, 40.9416],
      [1920, 1080, 'light=mercury', -2, '10sec', 1 / 6, 1 / 360, 360 - 40.9416],
    ] as const)(
      'at %i × %i the verniers can be read to the least count: %s in order %i, to %s',
      async (width, height, light, order, vernier, each, least, expected) => {
        await page.setViewportSize({ width, height });
        await look(`${light}&vernier=${vernier}`);
        await page.getByRole('button', { name: `Turn the telescope to order ${order}` }).click();
        for (const [which, turned] of [
          [0, 0],
          [1, 180],
        ]) {
          const read = await readByEye(which, each, least);
          const off = ((read - expected - turned + 540) % 360) - 180;
          expect(Math.abs(off)).toBeLessThanOrEqual(0.51 * least + 1e-4);
        }
        // Under the magnifier, where nothing but the nearest lines stands, one beside another shows.
        const glass = page.locator('.vernier svg.glass').first();
        const telling = await glass.evaluate((svg) => {
          const all = [
            ...svg
              .querySelector('.scale-lines')!
              .getAttribute('d')!
              .matchAll(/M([-\d.]+) [-\d.]+v([-\d.]+)/g),
          ];
          const of = (sign: number) =>
            all.filter(([, , v]) => Math.sign(Number(v)) === sign).map(([, x]) => Number(x));
          const [circle, hanging] = [of(-1), of(1)];
          return Math.abs(circle[1] - circle[0] - (hanging[1] - hanging[0]));
        });
        // A pixel is about the eye’s minute of arc at arm’s length (common practice, no source).
        expect(telling).toBeGreaterThan(1.2);
      },
    );

    test('by keyboard: telescope, magnifier; the reading is told when asked, the link carries all', async () => {
      await page.setViewportSize({ width: 1280, height: 720 });
      await look('light=sodium&field=1&telescope=20');
      expect(await page.locator('.vernier output').count()).toBe(0);
      await page.getByRole('slider', { name: /^Telescope\. Arrow keys/ }).press('Shift+ArrowRight');
      await page.getByRole('slider', { name: /^Vernier 1, magnifier/ }).press('ArrowRight');
      await page.getByLabel('Tell the readings').check();
      expect(await page.locator('.vernier output').allTextContents()).toEqual([
        '20° 06′',
        '200° 06′',
      ]);
      await expect.poll(() => setting().readings).toBe(true);
      expect(setting().magnifier).toBe(1);
      expect(setting().telescope).toBeCloseTo((20.1 * Math.PI) / 180, 9);
    });

    test('the sun’s caution stands at the eyepiece and beside the light', async () => {
      await look('light=sunlight');
      expect(await page.locator('.eyepiece figcaption').textContent()).toContain('blinds at once');
      expect(await page.locator('.moved .caution').textContent()).toContain(
        'Never turn slit or telescope to the sun',
      );
    });

    test.each(sizes)('passes axe at %i × %i, in a light and a dark room', async (width, height) => {
      await page.setViewportSize({ width, height });
      await look('light=sunlight&readings=true');
      expect(await findings(page)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
        width,
      );
      await page.getByRole('button', { name: 'Dark room' }).click();
      expect(await findings(page)).toEqual([]);
    });
  });

  test('nothing was complained of in the console', () => {
    expect(faults).toEqual([]);
  });
});
