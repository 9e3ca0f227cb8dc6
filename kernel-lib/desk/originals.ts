import { readdir, readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Notebook } from '../notebook/notebook';
import type { AnySheet } from '../questions/sheet';
import { Problem } from './problem';
import { readNotebookAs } from './read-notebook-as';

const load = createRequire(import.meta.url);

/** The built sheets: `worksheets/NAME/sheet.ipynb` with its questions in `sheet.cjs` beside it. */
export class Originals {
  private readonly known = new Map<string, AnySheet>();

  constructor(private readonly worksheets: string) {}

  async names(): Promise<string[]> {
    const entries = await readdir(this.worksheets, { withFileTypes: true }).catch(() => []);
    return entries
      .filter((entry) => entry.isDirectory())
      .map((entry) => entry.name)
      .sort();
  }

  /** @throws Problem with one sentence when the sheet lacks its notebook or its questions, or one is damaged */
  async original(name: string): Promise<{ sheet: AnySheet; notebook: Notebook }> {
    if (!(await this.names()).includes(name))
      throw new Problem(404, `There is no sheet named ${name}.`);
    const text = await readFile(join(this.worksheets, name, 'sheet.ipynb'), 'utf8').catch(() => {
      throw new Problem(409, `The sheet ${name} has no sheet.ipynb, so there is nothing to show.`);
    });
    const notebook = readNotebookAs(text, `The sheet ${name}`);
    return { sheet: this.questionsOf(name), notebook };
  }

  private questionsOf(name: string): AnySheet {
    const known = this.known.get(name);
    if (known) return known;
    let sheet: AnySheet;
    try {
      const loaded = load(join(this.worksheets, name, 'sheet.cjs'));
      sheet = loaded.default ?? loaded;
    } catch (error) {
      const missing = (error as NodeJS.ErrnoException).code === 'MODULE_NOT_FOUND';
      throw new Problem(
        409,
        missing
          ? `The sheet ${name} has no sheet.ts, so its answers cannot be checked: put worksheets/${name}/sheet.ts back.`
          : `The sheet.ts of ${name} does not load: ${(error as Error).message}`,
      );
    }
    this.known.set(name, sheet);
    return sheet;
  }
}
