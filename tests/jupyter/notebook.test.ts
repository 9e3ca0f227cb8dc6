import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { sheetOf, studentNumberOf, tagOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { launchBrowser, newPage, skip as noBrowser } from '../browser/stage';
import { needs } from '../needs';
import { NotebookPage, paintedAt } from './notebook-page';
import { NotebookServer } from './notebook-server';

// A sheet in Debian's Jupyter Notebook, in a browser, worked by mouse and keyboard: nothing of ours stands
// between, so this is what any reader of our formats gets.

const { path: jupyter, skip } = needs('notebook');
const file = '02-one-slit.ipynb';

describe.skipIf(skip || noBrowser)('a sheet in Jupyter Notebook', () => {
  const server = new NotebookServer(jupyter);
  const fileText = () => readFileSync(join(server.folder, file), 'utf8');
  const outside: string[] = [];
  const faults: string[] = [];
  let browser: Browser;
  let sheet: NotebookPage;
  let handedOut = '';

  async function open(name: string): Promise<NotebookPage> {
    const { page } = await newPage(
      await browser.newContext({ viewport: { width: 1280, height: 1000 } }),
    );
    page.on('pageerror', (error) => faults.push(String(error)));
    page.on('request', (request) => {
      if (/^(https?|wss?):\/\/(?!127\.0\.0\.1:)/.test(request.url())) outside.push(request.url());
    });
    const text = readFileSync(join(server.folder, name), 'utf8');
    return NotebookPage.open(page, server.address(name), text);
  }

  beforeAll(async () => {
    [browser] = await Promise.all([launchBrowser(), server.start()]);
    server.addSheet('02-one-slit', file);
    handedOut = fileText();
    sheet = await open(file);
  });
  afterAll(async () => {
    await browser?.close();
    await server.remove();
  });

  test('text and formulas are there, and the kernel by its name', async () => {
    expect(await sheet.cell('title').getByRole('heading').textContent()).toMatch(/^One slit/);
    expect(await sheet.cell('2-1-text').locator('.MathJax').count()).toBeGreaterThan(3);
    expect(await sheet.page.locator('#kernel_indicator').textContent()).toContain('multislit');
  });

  test('the givens of a student and three film strips come out of the cell with the givens', async () => {
    await sheet.run('student-number', "const studentNumber = '204117';");
    expect(await sheet.run('given')).toContain('One slit. Student 204117, 9 questions');
    const strips = sheet.output('given').getByRole('img', { name: /^3 film strips/ });
    // In the middle of the picture: behind the green filter; in daylight, so much that it is white.
    const [r, g, b] = await paintedAt(strips, 0.57, 0.27);
    expect(g).toBeGreaterThan(3 * Math.max(r, b));
    expect(Math.min(...(await paintedAt(strips, 0.57, 0.47)))).toBeGreaterThan(240);
  });

  test('checks show their verdicts: agrees, not yet with its hint, recorded', async () => {
    const angle = 'Math.asin(given.wavelength / given.width)';
    await sheet.run('2-1-work', `const theta = ${angle};\nconst firstDarkLine = theta;`);
    expect(await sheet.run('2-1-answer')).toMatch(/^Not yet\..*Math\.asin answers in radians/s);
    await sheet.run(
      '2-1-work',
      `const theta = ${angle};\nconst firstDarkLine = theta / degrees(1);`,
    );
    expect(await sheet.run('2-1-answer')).toMatch(/^Agrees\..*2\.1 agrees, 2 of 2 marks/s);
    await sheet.run('2-5-work', 'const shareThrough = 80;');
    expect(await sheet.run('2-5-answer')).toMatch(/^Recorded\./);
  });

  test('a plot of the student’s own function stands below its cell', async () => {
    await sheet.run(
      '2-3-work',
      `function intensity(s: number): number {
  const beta = (Math.PI * given.width * s) / given.wavelength;
  return beta === 0 ? 1 : (Math.sin(beta) / beta) ** 2;
}
show(patternPlot({ s: directions, intensity: directions.map(intensity) }));`,
    );
    const plot = sheet.output('2-3-work').getByRole('img', { name: /^Intensity against/ });
    const { width, height } = (await plot.boundingBox())!;
    expect(Math.min(width, height)).toBeGreaterThan(200);
  });

  test('Tab completes a name, or offers those that fit', async () => {
    await sheet.write('2-2-work', 'filmS');
    await sheet.page.keyboard.press('Tab');
    await expect.poll(() => sheet.source('2-2-work')).toBe('filmStrip');
    await sheet.write('2-2-work', 'Math.co');
    await sheet.page.keyboard.press('Tab');
    const offered = sheet.page.locator('.completions option');
    await offered.first().waitFor();
    expect(await offered.allInnerTexts()).toEqual(expect.arrayContaining(['cos', 'cosh']));
    await sheet.page.keyboard.press('Escape');
  });

  test('Shift+Tab shows what a function does', async () => {
    await sheet.write('2-2-work', 'filmStrip');
    await sheet.page.keyboard.press('Shift+Tab');
    await expect
      .poll(() => sheet.page.locator('#tooltip').textContent())
      .toMatch(/filmStrip\(aperture/);
    await sheet.page.keyboard.press('Escape');
  });

  test('an error says its name, what is wrong, and the line', async () => {
    const types = await sheet.run('2-2-work', 'const bandWidth = 1;\nbandWidht;');
    expect(types).toMatch(/TypeScriptError.*line 2, column 1: Cannot find name 'bandWidht'/s);
    const values = await sheet.run('2-2-work', '\nslits(0, { width: um(4), spacing: um(10) });');
    expect(values).toMatch(/RangeError: The number of slits must be.*at line 2, column \d/s);
  });

  const bench = `import { live, mm } from 'multislit';
live({ light: 'laser', wavelength: nm(500), slits: 2, width: um(20), spacing: um(100), focalLength: mm(500), span: mm(10) })`;

  test('live(…) is a bench in the cell: a slider moves, the strip follows', async () => {
    await sheet.run('2-2-work', bench);
    const strip = sheet.output('2-2-work').locator('canvas.strip').first();
    // Half an order from the middle, f λ/2d = 1.25 mm of 10 mm: dark behind two slits, bright behind one.
    const place = 0.5 + 1.25 / 10;
    expect(Math.max(...(await paintedAt(strip, place, 0.5)))).toBeLessThan(60);
    const slider = sheet.output('2-2-work').getByLabel('Number of slits, slider');
    await slider.press('ArrowLeft');
    await expect
      .poll(async () => Math.max(...(await paintedAt(strip, place, 0.5))))
      .toBeGreaterThan(200);
    // Its keys are its own: none of them was a command to the notebook around it.
    expect(await sheet.source('2-2-work')).toBe(bench);
  });

  test('in the place of the link under Look stands code, and it makes the bench with this student’s givens', async () => {
    expect(await sheet.run('look-move')).toContain('Here it does in a cell of your own');
    const code = await sheet.output('look-move').locator('pre', { hasText: 'live(' }).textContent();
    await sheet.run('2-8-work', code ?? '');
    const width = sheet.output('2-8-work').getByLabel('Slit width', { exact: true });
    const [told] = /[\d.]+ µm(?= \(given\.width\))/.exec(
      (await sheet.output('given').textContent()) ?? '',
    )!;
    expect(await width.inputValue()).toBe(told);
  });

  test('a slider gives its variable another value, and says which cells to run', async () => {
    const slider = sheet.output('2-6-work').getByRole('slider', { name: 'slit width, µm' });
    await sheet.run(
      '2-6-work',
      "import { movable } from 'multislit';\nconst wide = movable('slit width', um(40), { from: um(10), to: um(200) });",
    );
    expect(await sheet.run('2-7-work', 'Math.round(wide * 1e6) * 2')).toContain('80');
    await slider.press('ArrowRight');
    const said = sheet.output('2-6-work').getByRole('status');
    await expect.poll(() => said.textContent()).toMatch(/^Run In \[\d+\] to see what follows\.$/);
    expect(await sheet.run('2-7-work')).toContain('82');
    const box = sheet.output('2-6-work').getByRole('spinbutton', { name: 'slit width, µm' });
    await box.fill('7');
    await box.press('Enter');
    await expect.poll(() => said.textContent()).toBe('Give a number from 10 to 200.');
    await box.fill('120');
    await box.press('Enter');
    await expect.poll(() => said.textContent()).toMatch(/^Run In/);
    expect(await sheet.run('2-7-work')).toContain('240');
  });

  test('a cell that gives a variable another value says which cells are older by now', async () => {
    expect(await sheet.run('2-8-work', 'let filmLength = 3;')).not.toContain('older values');
    expect(await sheet.run('2-7-work', 'filmLength * 7')).toMatch(/21$/);
    expect(await sheet.run('2-8-work', 'let filmLength = 4;')).toMatch(
      /^Computed from older values by now: In \[\d+\]\. Run it again to bring it along\.$/,
    );
    expect(await sheet.run('2-7-work')).toMatch(/28$/);
  });

  test('the front end’s own button stops a cell, and what was computed stays', async () => {
    const endless =
      "let n = 0;\nconsole.log('off it goes');\nawait new Promise((go) => setTimeout(go, 200));";
    await sheet.begin('2-4-work', `${endless}\nwhile (true) n += 1;`);
    // Not before it runs: what is stopped while its types are checked has declared nothing.
    await sheet.output('2-4-work').getByText('off it goes').waitFor();
    await new Promise((loops) => setTimeout(loops, 600));
    await sheet.page.getByTitle('interrupt the kernel').click();
    await sheet.ran('2-4-work', 'In [*]:');
    expect(await sheet.output('2-4-work').textContent()).toContain('The cell was stopped.');
    expect(await sheet.run('2-4-work', '[n > 0, given.focalLength > 0]')).toContain(
      '[ true, true ]',
    );
  });

  test('what is saved is the same sheet with answers, ready to be handed in', async () => {
    await sheet.page.keyboard.press('ControlOrMeta+s');
    await expect.poll(() => fileText().includes('n > 0')).toBe(true);
    const saved = readNotebook(fileText());
    const blank = readNotebook(handedOut);
    expect(sheetOf(saved)).toBe('02-one-slit');
    expect(studentNumberOf(saved)).toBe('204117');
    expect(saved.cells.map((cell) => [cell.id, tagOf(cell)])).toEqual(
      blank.cells.map((cell) => [cell.id, tagOf(cell)]),
    );
  });

  test('a notebook from elsewhere runs no script: the picture of the bench stands in its place', async () => {
    const notebook = readNotebook(fileText());
    notebook.cells.find(({ id }) => id === '2-4-work')!.source = '// changed elsewhere';
    writeFileSync(join(server.folder, 'elsewhere.ipynb'), writeNotebook(notebook));
    const elsewhere = await open('elsewhere.ipynb');
    await elsewhere.page.getByText('Not Trusted').waitFor();
    const shown = elsewhere.output('2-2-work');
    const still = shown.getByRole('img', { name: /^Film strip of 2 slits/ });
    // The fringe in the middle of the strip, bright green-blue (500 nm), on black film.
    const [r, g] = await paintedAt(still, 0.55, 0.76);
    expect(g).toBeGreaterThan(150);
    expect(r).toBeLessThan(100);
    expect(await shown.locator('canvas, script').count()).toBe(0);
    const strips = elsewhere.output('given').getByRole('img', { name: /^3 film strips/ });
    expect(Math.min(...(await paintedAt(strips, 0.57, 0.45)))).toBeGreaterThan(240);

    // A reader who trusts it gets the bench that was kept with it.
    await elsewhere.choose('File', 'Trust Notebook');
    // On a busy machine another dialog may lie over it for as long as it likes.
    await elsewhere.page
      .locator('.modal.in')
      .getByRole('button', { name: 'Trust', exact: true })
      .last()
      .evaluate((button: HTMLElement) => button.click());
    await elsewhere.output('2-2-work').locator('canvas.strip').first().waitFor();
    await elsewhere.page.context().close();
  });

  test('after a restart the kernel knows nothing, and all runs again from the top', async () => {
    await sheet.choose('Kernel', 'Restart & Run All');
    await sheet.page.getByRole('button', { name: 'Restart and Run All Cells' }).click();
    // There is no answer to 2.2: its check fails, and the front end runs nothing below it.
    await expect
      .poll(() => sheet.output('2-2-answer').textContent())
      .toContain("Cannot find name 'bandWidth'");
    expect(await sheet.run('2-4-work')).toContain("Cannot find name 'n'");
    expect(await sheet.cell('student-number').locator('.input_prompt').textContent()).toMatch(
      /^In\s\[1\]:$/,
    );
    expect(await sheet.output('2-1-answer').textContent()).toContain('Agrees.');
  });

  test('no script of the page failed, and nothing was fetched from elsewhere', () => {
    expect(faults).toEqual([]);
    expect(outside).toEqual([]);
  });
});
