import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { codeCells, sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { verdictMimeType } from '../../kernel-lib/questions/verdict';
import { keyOf, oneSlit } from '../cli/class-for-test';
import type { Engine, Tab } from './engines';
import { type SiteForTest, siteForTest } from './site-for-test';

/** What is to be looked for in a page. */
interface Sought {
  readonly selector: string;
  /** What its text holds. */
  readonly text?: string;
  /** What is done once it is there. */
  readonly act?: 'click' | 'focus';
}

/** Wait until it is there, and to be seen; then do with it. @returns its text */
const look = ({ selector, text = '', act }: Sought): Promise<string> =>
  new Promise((done) => {
    const again = () => {
      const one = [...document.querySelectorAll<HTMLElement>(selector)].find(
        (each) => each.textContent?.includes(text) && each.getClientRects().length > 0,
      );
      if (!one || (act && one.matches(':disabled, [aria-disabled="true"]')))
        return void setTimeout(again, 50);
      one.scrollIntoView({ block: 'center' });
      if (act === 'click') one.click();
      if (act === 'focus') one.focus();
      done(one.textContent ?? '');
    };
    again();
  });

/** The page of a site, whole, from its address to the file that is handed in. */
export function wholePage(engine: Engine): void {
  describe.skipIf(engine.skip)(engine.name, () => {
    let site: SiteForTest;
    let tab: Tab;
    beforeAll(async () => {
      [site, tab] = await Promise.all([siteForTest([oneSlit]), engine.open()]);
    });
    afterAll(async () => {
      await tab?.close();
      await site?.remove();
    });

    const see = (selector: string, text?: string) => tab.evaluate(look, { selector, text });
    const click = (selector: string, text?: string) =>
      tab.evaluate(look, { selector, text, act: 'click' });
    const focus = (selector: string) => tab.evaluate(look, { selector, act: 'focus' });

    test('a sheet is begun, run, typed in, checked and handed in', async () => {
      await tab.goto(site.address);
      await focus('input');
      await tab.press(...'204117', 'Enter');
      await see('main', 'Student number 204117');
      await click('button', 'Begin');
      await see('[data-cell="given"] .outputs', 'Student 204117');
      await see('[data-cell="given"] figure.plot img');
      await click('button', 'Run from the top');
      await see('[data-cell="2-8-answer"][data-state="still"]:not([data-runs="0"])');
      await see('[data-kernel="ready"]');

      const editor = '[data-cell="2-1-work"] .cm-content';
      await focus(editor);
      const working = keyOf(oneSlit).model['2-1-work'];
      // The list of names closes at a blank; the end of a line is no choice from it.
      const lines = working.split('\n').map((line) => [...line, 'Escape']);
      await tab.press(['Control', 'a']);
      for (const [n, line] of lines.entries())
        await tab.press(...(n > 0 ? ['Enter'] : []), ...line);
      expect(await see(editor)).toBe(working.replaceAll('\n', ''));
      await click('[data-cell="2-1-answer"] button', 'Check');
      expect(await see('[data-cell="2-1-answer"] .verdict[data-state="agrees"]')).toContain(
        'Agrees.',
      );
      await see('[data-save="saved"]');

      await tab.evaluate(() => {
        const make = URL.createObjectURL;
        URL.createObjectURL = (made) => {
          if (made instanceof Blob)
            void made.text().then((text) => Object.assign(window, { text }));
          return make.call(URL, made);
        };
      }, undefined);
      await click('button', 'Hand in');
      await click('dialog button', 'Make the file as it is');
      await see('dialog .made', `Made: 204117-${oneSlit}.ipynb`);
      const text = await tab.evaluate(
        () =>
          new Promise<string>((done) => {
            const again = () =>
              'text' in window ? done(String(window.text)) : setTimeout(again, 50);
            again();
          }),
        undefined,
      );
      const cells = codeCells(readNotebook(text));
      const handed = (id: string) => cells.find((one) => one.id === id)!;
      expect(sourceOf(handed('2-1-work'))).toBe(working);
      const [verdict] = handed('2-1-answer').outputs;
      expect('data' in verdict && verdict.data[verdictMimeType]).toMatchObject({
        question: '2.1',
        state: 'agrees',
      });
    });
  });
}
