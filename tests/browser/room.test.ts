import { decode } from 'fast-png';
import jsQR from 'jsqr';
import type { BrowserContext, Locator, Page, WebSocketRoute } from 'playwright-core';
import { beforeAll, describe, expect, test } from 'vitest';
import { openBench, painted } from './bench-stage';
import { findings } from './find-faults';
import { onStage } from './on-stage';
import { launchBrowser, newPage, skip } from './stage';

/** What a reader of QR codes that is not ours sees in a picture of the page. */
async function read(square: Locator): Promise<string | undefined> {
  const { data, width, height, channels } = decode(await square.screenshot());
  const pixels = new Uint8ClampedArray(width * height * 4).fill(255);
  for (let i = 0; i < width * height; i++)
    for (let c = 0; c < 3; c++) pixels[4 * i + c] = data[channels * i + c];
  return jsQR(pixels, width, height)?.data;
}

describe.skipIf(skip)('a room for the phones of a class', () => {
  let page: Page;
  let address = '';
  let code = '';
  const lines: WebSocketRoute[] = [];
  let phone: Page;
  let faults: string[];

  // The pages' policies let no foreign script in, axe included.
  const options = { bypassCSP: true };
  const desk = onStage({ ...options, viewport: { width: 1280, height: 720 } }, async (context) => {
    ({ page } = await newPage(context));
    await page.goto(desk.address);
    await openBench(page, desk);
  });

  /** A browser that knows nothing of the desk, as large as a phone. */
  async function phoneContext(): Promise<BrowserContext> {
    const browser = await launchBrowser();
    return browser.newContext({
      ...options,
      viewport: { width: 390, height: 844 },
      hasTouch: true,
      isMobile: true,
    });
  }
  const link = () => `${address}#${code.replace(' ', '')}`;
  const setting = (of: Page) => of.getByLabel('Number of slits', { exact: true });
  /** Change something on the lecturer's bench; it has been painted there when this comes back. */
  const change = async (act: string, what = page) => {
    const before = await painted(what);
    await what.getByLabel(act).click();
    await expect.poll(() => painted(what)).not.toEqual(before);
  };
  const follows = async (of = phone) => expect.poll(() => painted(of)).toEqual(await painted(page));
  const fits = (of: Page) =>
    of.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth);

  test('says what leaves the machine before it is opened, and gives a code and a square to read', async () => {
    await page.getByRole('button', { name: 'Open a room' }).click();
    const panel = page.locator('.room-panel');
    await panel.getByText('What leaves this machine:').waitFor();
    expect(await panel.textContent()).toContain('nothing is encrypted on the way');
    expect(await panel.getByText('code').count()).toBe(1);
    expect(await findings(page)).toEqual([]);
    await panel.getByText('127.0.0.1').click();
    await panel.getByRole('button', { name: 'Open the room' }).click();
    const told = panel.locator('.room-open p').first();
    await told.waitFor();
    [, address, code] =
      /(http:\S+\/), code (\w+ \d\d)/.exec((await told.textContent()) ?? '') ?? [];
    expect(new URL(address).hostname).toBe('127.0.0.1');
    expect(await read(panel.locator('.room-open .qr'))).toBe(link());
    expect(await findings(page)).toEqual([]);
  });

  describe('with a phone in it', () => {
    beforeAll(async () => {
      const context = await phoneContext();
      ({ page: phone, faults } = await newPage(context));
      await phone.routeWebSocket(/\/line\?/, (line) => {
        lines.push(line);
        line.connectToServer();
      });
    });

    test('a phone comes in by the code that stands on the screen, and follows', async () => {
      await phone.goto(address);
      const field = phone.getByLabel('The code that stands on the screen');
      await field.fill('SLATE 00');
      await field.press('Enter');
      await phone.getByText('That is not the code of this room').waitFor();
      await field.fill(code.toLowerCase());
      await field.press('Enter');
      await phone.locator('.readout').waitFor();
      await change('Number of slits: more');
      await follows();
      expect(await phone.locator('.moved').isVisible()).toBe(false);
      expect(await fits(phone)).toBe(true);
      expect(await findings(phone)).toEqual([]);
    });

    test('it goes its own way and comes back', async () => {
      await phone.getByRole('button', { name: 'Try it yourself' }).click();
      await phone.getByLabel('Number of slits: more').click();
      await expect.poll(() => setting(phone).inputValue()).toBe('5');
      await change('Slit width: more');
      // Somebody else has it by now, and it has moved nothing here.
      const late = await (await phoneContext()).newPage();
      await late.goto(link());
      await late.locator('.readout').waitFor();
      await follows(late);
      await late.context().close();
      expect(await setting(phone).inputValue()).toBe('5');
      expect(await findings(phone)).toEqual([]);
      await phone.getByRole('button', { name: 'Back to the lecturer' }).click();
      await follows();
    });

    test('light is painted on it, counted, and shown above the film when that lies open', async () => {
      await page.getByRole('button', { name: 'Begin the steps' }).click();
      const film = phone.getByRole('slider', { name: 'Empty film' });
      await film.waitFor();
      for (const hidden of ['canvas.strip', '.curve', '.readout', '.controls'])
        expect(await phone.locator(hidden).count()).toBe(0);
      await film.press(' ');
      await phone.getByText('It has come in').waitFor();
      await page.getByText('1 of 1 have answered').waitFor();
      expect(await page.locator('.was-expected').count()).toBe(0);
      expect(await findings(phone)).toEqual([]);
      await page.getByRole('button', { name: 'Show it' }).click();
      // On the page once its own film lies open, on the phone when that was told.
      for (const one of [page, phone]) {
        await one.locator('.was-expected canvas').waitFor();
        const alpha = await one
          .locator('.was-expected canvas')
          .evaluate((canvas: HTMLCanvasElement) =>
            Array.from(canvas.getContext('2d')!.getImageData(0, 0, canvas.width, 1).data).filter(
              (_, i) => i % 4 === 3,
            ),
          );
        // What one person touched once is all that was expected, so it is as bright as full.
        expect(alpha[alpha.length >> 1]).toBeGreaterThan(230);
        expect(alpha[alpha.length >> 2]).toBe(0);
      }
    });

    test('words and numbers stand as marks on the curve, with hands that were counted', async () => {
      await page.getByRole('button', { name: 'And why?' }).click();
      await page.getByRole('button', { name: 'Next step' }).click();
      await phone.getByRole('button', { name: 'fewer', exact: true }).click();
      await phone.getByRole('button', { name: 'more', exact: true }).click();
      await phone.getByText('It has come in').waitFor();
      await page.getByText('1 of 1 have answered').waitFor();
      await page.getByRole('button', { name: 'fewer', exact: true }).click();
      await page.getByRole('button', { name: 'fewer', exact: true }).click();
      expect(await page.locator('.answer-marks').count()).toBe(0);
      await page.getByRole('button', { name: 'Show it' }).click();
      const marks = page.locator('.answer-marks li');
      await marks.first().waitFor();
      await expect.poll(() => marks.allTextContents()).toEqual(['2 said: fewer', 'one said: more']);
      const [mark, curve] = await Promise.all([
        page.locator('.answer-marks .mark').boundingBox(),
        page.locator('.curve').boundingBox(),
      ]);
      // Said of the middle: it stands there.
      expect(mark!.x + mark!.width / 2).toBeCloseTo(curve!.x + curve!.width / 2, -1);
      await phone.getByText('one said: more').waitFor();
      expect(await fits(phone)).toBe(true);
    });

    test('a line that is lost comes back by itself, and catches up', async () => {
      await page.getByRole('button', { name: 'Leave the steps' }).click();
      const { length } = lines;
      await lines.at(-1)?.close({ code: 1001 });
      await change('Number of slits: more');
      await expect.poll(() => lines.length).toBeGreaterThan(length);
      await follows();
      await phone.getByRole('status').getByText('following').waitFor();
    });

    test('the room outlasts a reload of its page', async () => {
      await page.reload();
      await page.getByRole('button', { name: 'The room', exact: true }).click();
      await page.locator('.room-open').getByText('1 phone is here').waitFor();
      await change('Number of slits: less');
      await follows();
    });

    test('before a class the code stands in the foot line, and Q shows it as large as the screen', async () => {
      await page.getByRole('button', { name: 'For a class' }).click();
      const foot = page.locator('.class-foot .join');
      await foot.getByText(code).waitFor();
      expect(await read(foot.locator('.qr'))).toBe(link());
      expect(await page.locator('.foot .caution').isVisible()).toBe(true);
      await page.keyboard.press('q');
      const large = page.locator('.large-join');
      await large.getByText(code).waitFor();
      expect(await read(large.locator('.qr'))).toBe(link());
      expect(await findings(page)).toEqual([]);
      await page.keyboard.press('q');
      await large.waitFor({ state: 'detached' });
      await page.getByRole('button', { name: 'Leave', exact: true }).click();
      await page.locator('.class-foot').waitFor({ state: 'detached' });
    });

    test('closed, it says so on the phone, where the bench goes on', async () => {
      await page.getByRole('button', { name: 'Close the room' }).click();
      await phone.getByText('The room was closed.').waitFor();
      await phone.getByRole('button', { name: 'Try it yourself' }).click();
      await setting(phone).waitFor();
      await page.getByRole('button', { name: 'Open the room' }).waitFor();
      // Only what the browser itself says of a line that is gone.
      expect(faults.filter((fault) => !/WebSocket/.test(fault))).toEqual([]);
    });
  });
});

describe.skipIf(skip)('steps of a lecturer’s own', () => {
  let page: Page;
  const desk = onStage({ bypassCSP: true, viewport: { width: 1280, height: 900 } }, async (c) => {
    await c.grantPermissions(['clipboard-read', 'clipboard-write']);
    ({ page } = await newPage(c));
    await page.goto(desk.address);
  });

  test('are written in the page, gone through, kept through a reload, and carried by link and file', async () => {
    await openBench(page, desk, 'slits=8&focalLength=900mm&span=30mm');
    await page.locator('.own-steps > summary').click();
    await page.getByRole('button', { name: 'New step, with the bench as it stands' }).click();
    await page.locator('.own-steps li summary').click();
    await page.getByLabel('Title').fill('Eight in the long room');
    await page.getByLabel('Question, before it is shown').fill('How many weak lines?');
    await page.getByLabel('What to look for').fill('Count them.');
    await page.getByLabel('Answered by').selectOption('an angle, minutes of arc');
    expect(await findings(page)).toEqual([]);
    const saving = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save as a file' }).click();
    const file = await (await saving).path();
    await page.getByRole('button', { name: 'Copy a link' }).click();
    await page.getByText('The link is copied.').waitFor();
    const link = await page.evaluate(() => navigator.clipboard.readText());

    await page.getByRole('button', { name: 'Go through these' }).click();
    await page.getByRole('button', { name: 'As at the beginning' }).click();
    await page.getByRole('button', { name: 'Begin the steps' }).click();
    const words = page.locator('.steps p');
    await words.getByText('1 of 1: Eight in the long room').waitFor();
    await page.getByLabel('The number that you expect').fill('10');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Show it' }).click();
    await words.getByText('Count them.').waitFor();
    await page.locator('.answer-marks').getByText('one said: 10′').waitFor();
    // 900 mm · tan 10′ on 30 mm of film, from its middle.
    const share = (900 * Math.tan((10 / 60) * (Math.PI / 180))) / 30 + 0.5;
    const at = await page.locator('.answer-marks').evaluate((box) => {
      const { left, width } = box.getBoundingClientRect();
      const mark = box.querySelector('.mark')!.getBoundingClientRect();
      return (mark.left + mark.width / 2 - left) / width;
    });
    expect(at).toBeCloseTo(share, 2);
    expect(await page.getByLabel('Camera, focal length', { exact: true }).inputValue()).toBe(
      '900 mm',
    );
    await page.reload();
    await words.getByText('1 of 1: Eight in the long room').waitFor();

    // In a browser that knows nothing of them.
    const other = await (await launchBrowser()).newContext();
    const { page: guest } = await newPage(other);
    await guest.goto(desk.address);
    await guest.goto('about:blank');
    await guest.goto(link);
    await guest.getByText('Steps of your own: 1 step.').waitFor();
    await guest.getByRole('button', { name: 'Begin the steps' }).click();
    await guest.locator('.steps p').getByText('How many weak lines?').waitFor();
    await other.close();

    const third = await (await launchBrowser()).newContext();
    const { page: colleague } = await newPage(third);
    await colleague.goto(desk.address);
    await openBench(colleague, desk);
    await colleague.locator('.own-steps > summary').click();
    await colleague.getByLabel('A file of steps').setInputFiles(file);
    await colleague.getByText('The steps of the file are here.').waitFor();
    await colleague
      .getByLabel('A file of steps')
      .setInputFiles({ name: 'x.json', mimeType: 'application/json', buffer: Buffer.from('{}') });
    await colleague.getByText('These are no steps of a bench').waitFor();
    expect(await colleague.locator('.own-steps li').count()).toBe(1);
    await third.close();
  });
});
