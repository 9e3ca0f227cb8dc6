import { copyFileSync, mkdirSync, readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import type { MarkRecord } from '../../kernel-lib/marking/record';
import { hang, multislit } from '../cli/multislit';
import { onStage } from './on-stage';
import { cell, newPage, saved, skip } from './stage';

// A student does whole sheets by what their text says, key by key and with slips, and hands them in; then they are
// marked. What is typed stands in by-hand/: the number of a question, then
//   @ START      the line of its cell that begins so is clicked on and selected; lines that follow are typed over it
//   // START     the slashes of the line that begins so are taken away
//   run: TEXT    the cell is run, and TEXT is to be read below it
//   check: TEXT  the answer is checked, and TEXT is to be read in the verdict

/** What was read by eye from this student's figures stands in the files, too. */
const student = '204117';
const folder = fileURLToPath(new URL('by-hand', import.meta.url));
const sample = process.env.MULTISLIT_ALL_BY_HAND ? /^/ : /^0[26]/;
const titles: Readonly<Record<string, string>> = {
  '01-a-parallel-beam': 'A parallel beam',
  '02-one-slit': 'One slit',
  '03-two-slits': 'Two slits',
  '04-three-and-four-slits': 'Three and four slits',
  '05-from-slits-to-a-grating': 'From slits to a grating',
  '06-reading-the-spectrometer': 'Reading the spectrometer',
  '07-your-own-pattern': 'Your own pattern',
};
const names = readdirSync(folder)
  .map((file) => basename(file, '.txt'))
  .filter((name) => sample.test(name));

interface Step {
  readonly question: string;
  readonly act: 'type over' | 'uncomment' | 'run' | 'check';
  /** The beginning of a line, or what is to be read. */
  readonly text: string;
  readonly typed: string[];
}

function stepsOf(name: string): Step[] {
  const steps: Step[] = [];
  let question = '';
  const signs = { '@ ': 'type over', '// ': 'uncomment', 'run: ': 'run', 'check: ': 'check' };
  for (const line of readFileSync(join(folder, `${name}.txt`), 'utf8').split('\n')) {
    const [sign, act] = Object.entries(signs).find(([one]) => line.startsWith(one)) ?? [];
    if (/^\d\.\d$/.test(line)) question = line;
    else if (act !== undefined)
      steps.push({
        question,
        act: act as Step['act'],
        text: act === 'uncomment' ? line : line.slice(sign?.length),
        typed: [],
      });
    else if (line !== '') steps.at(-1)?.typed.push(line);
  }
  return steps;
}

describe.skipIf(skip)('a student at the keyboard', { timeout: hang }, () => {
  let page: Page;

  const desk = onStage(
    { viewport: { width: 1440, height: 900 }, acceptDownloads: true },
    async (context) => {
      ({ page } = await newPage(context));
    },
  );

  /** Put the cursor at the beginning of the line that begins so. */
  async function goTo(id: string, start: string): Promise<void> {
    const lines = cell(page, id).locator('.cm-line');
    // Until its editor has come a cell is a plain field.
    await lines.first().waitFor();
    const texts = await lines.allTextContents();
    const at = texts.findIndex((text) => text.trimStart().startsWith(start));
    if (at < 0) throw new Error(`${id} has no line “${start}” but:\n${texts.join('\n')}`);
    await lines.nth(at).click({ position: { x: 8, y: 8 } });
    await page.keyboard.press('Home');
  }

  /** Press what runs or checks, wait for the end, and read what stands below; an error in the working ends it, too. */
  async function outputsOf(id: string, work: string, press: () => Promise<void>): Promise<string> {
    const ended = async (one: string) => {
      const before = await cell(page, one).getAttribute('data-runs');
      return page.locator(`[data-cell="${one}"][data-state="still"]:not([data-runs="${before}"])`);
    };
    const answered = await ended(id);
    const failed = (await ended(work)).locator('.error');
    await press();
    await answered.or(failed).first().waitFor();
    const read = await cell(page, (await failed.count()) > 0 ? work : id)
      .locator('.outputs')
      .allTextContents();
    return read.join('\n');
  }

  async function take({ question, act, text, typed }: Step): Promise<void> {
    const id = (part: string) => `${question.replace('.', '-')}-${part}`;
    const { keyboard } = page;
    if (act === 'type over') {
      await goTo(id('work'), text);
      // A long line is wrapped: its end is some rows below.
      for (let row = 0; row < 4; row += 1) await keyboard.press('Shift+End');
      await keyboard.type(typed.join('\n'));
      await keyboard.press('Escape');
    } else if (act === 'uncomment') {
      await goTo(id('work'), text);
      for (let sign = 0; sign < 3; sign += 1) await keyboard.press('Delete');
    } else {
      const answer = act === 'run' ? id('work') : id('answer');
      const check = cell(page, answer).getByRole('button', { name: /^Check/ });
      const press = () => (act === 'run' ? keyboard.press('ControlOrMeta+Enter') : check.click());
      const read = await outputsOf(answer, id('work'), press);
      expect(read, `${question}, ${act}`).toContain(text);
    }
  }

  test.each(names)('%s', async (name) => {
    const steps = stepsOf(name);
    await page.goto(desk.address);
    await page.getByText('Student number', { exact: false }).first().waitFor();
    const asked = page.getByLabel('Your student number');
    if (await asked.isVisible()) {
      await asked.click();
      await page.keyboard.type(student);
      await page.keyboard.press('Enter');
    }
    await page.getByRole('button', { name: `Begin ${titles[name]}` }).click();
    await page.locator('[data-cell="given"][data-state="still"] .outputs').waitFor();
    for (const step of steps) await take(step);
    await saved(page);
    await page.getByRole('button', { name: 'Hand in …' }).click();
    const coming = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Make the file as it is' }).click();
    const download = await coming;
    const returns = join(desk.folder, 'returns', name);
    mkdirSync(returns, { recursive: true });
    copyFileSync(await download.path(), join(returns, download.suggestedFilename()));

    const marks = join(desk.folder, 'marks', name);
    const words = ['mark', returns, '--to', marks, '--jobs', '1', '--sheet', name];
    const ended = await multislit(words);
    // Where it takes long, how far it is stands there as well.
    expect(ended.code, ended.err).toBe(0);
    const path = join(marks, 'records', name, `${student}.json`);
    const record: MarkRecord = JSON.parse(readFileSync(path, 'utf8'));
    const answered = [...new Set(steps.map(({ question }) => question))];
    for (const id of answered) {
      const mark = record.questions.find((one) => one.question === id);
      expect(mark, id).toMatchObject({ marks: mark?.outOf, state: 'agrees' });
    }
  });
});
