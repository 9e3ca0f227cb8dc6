import { decode } from 'fast-png';
import type { Locator, Page } from 'playwright-core';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';

/** A sheet open in Jupyter Notebook, worked as a person does: by mouse and keyboard. */
export class NotebookPage {
  constructor(
    readonly page: Page,
    /** Ids of the cells in their order: the front end does not tell them. */
    private readonly ids: readonly string[],
  ) {}

  static async open(page: Page, address: string, file: string): Promise<NotebookPage> {
    const notebook = new NotebookPage(
      page,
      readNotebook(file).cells.map(({ id }) => id),
    );
    await page.goto(address);
    await notebook.kernelReady();
    return notebook;
  }

  async kernelReady(): Promise<void> {
    await this.page.locator('#kernel_indicator_icon.kernel_idle_icon').waitFor();
  }

  cell(id: string): Locator {
    const place = this.ids.indexOf(id);
    if (place < 0) throw new Error(`There is no cell ${id}.`);
    return this.page.locator('#notebook-container .cell').nth(place);
  }

  output(id: string): Locator {
    return this.cell(id).locator('.output');
  }

  async write(id: string, text: string): Promise<void> {
    await this.cell(id).locator('.CodeMirror').click();
    await this.page.keyboard.press('ControlOrMeta+a');
    await this.page.keyboard.insertText(text);
  }

  source(id: string): Promise<string> {
    type Editor = { CodeMirror: { getValue(): string } };
    return this.cell(id)
      .locator('.CodeMirror')
      .evaluate((editor) => (editor as unknown as Editor).CodeMirror.getValue());
  }

  /** Begin to run a cell, with another text if one is given. */
  async begin(id: string, text?: string): Promise<void> {
    if (text === undefined) await this.cell(id).locator('.CodeMirror').click();
    else await this.write(id, text);
    await this.page.keyboard.press('Control+Enter');
  }

  private async prompt(id: string): Promise<string> {
    return (await this.cell(id).locator('.input_prompt').textContent()) ?? '';
  }

  /** Run a cell to its end and tell what then stands below it. */
  async run(id: string, text?: string): Promise<string> {
    const before = await this.prompt(id);
    await this.begin(id, text);
    await this.ran(id, before);
    return (await this.output(id).textContent()) ?? '';
  }

  /** Wait until a cell has a number, another than `before`, and the kernel is at rest. */
  async ran(id: string, before = ''): Promise<void> {
    for (const until = Date.now() + 30_000; ; ) {
      const prompt = await this.prompt(id);
      if (prompt !== before && /\d/.test(prompt)) break;
      if (Date.now() > until) throw new Error(`The cell ${id} does not come to an end: ${prompt}`);
      await new Promise((done) => setTimeout(done, 50));
    }
    await this.kernelReady();
  }

  /** Choose from the menus. */
  async choose(menu: string, item: string): Promise<void> {
    await this.page.locator('#menubar').getByText(menu, { exact: true }).click();
    await this.page.locator('#menubar').locator('.open').getByText(item, { exact: true }).click();
  }
}

/** The colour R, G, B in which an element is painted, at a place told as shares of its width and height. */
export async function paintedAt(element: Locator, across: number, down: number): Promise<number[]> {
  const { data, width, height, channels } = decode(await element.screenshot());
  const at = (Math.floor(down * height) * width + Math.floor(across * width)) * channels;
  return Array.from(data.slice(at, at + 3));
}
