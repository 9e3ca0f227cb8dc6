import { readdir, readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import {
  type Notebook,
  NotebookError,
  studentNumberOf,
  withNumberInstead,
  withStudentNumber,
} from '../notebook/notebook';
import { readNotebook } from '../notebook/read-notebook';
import { writeNotebook } from '../notebook/write-notebook';
import type { AnySheet } from '../questions/sheet';
import type { ListedSheet, OpenedSheet, OtherNotebook } from '../travels/sheet-list';
import { listedQuestion, standingOf } from '../travels/standing';
import { Refusal } from './refusal';
import { contain, readStored, saveStored } from './stored-file';
import { readStudent, writeStudent } from './student';

const load = createRequire(import.meta.url);

const pathOf = (name: string) => `${name}.ipynb`;

/** The student's copies of the sheets, in the work folder. */
export class Sheets {
  private readonly originals: Originals;

  constructor(
    readonly folder: string,
    worksheets: string,
  ) {
    this.originals = new Originals(worksheets);
  }

  async list(): Promise<ListedSheet[]> {
    return Promise.all((await this.originals.names()).map((name) => this.listed(name)));
  }

  private async listed(name: string): Promise<ListedSheet> {
    const path = pathOf(name);
    const blank = { name, title: name, path, opened: false, questions: [], states: {}, marks: 0 };
    let found: ListedSheet = blank;
    try {
      const { sheet, notebook } = await this.originals.original(name);
      const questions = sheet.questions.map((question) => listedQuestion(question, notebook));
      found = { ...blank, title: sheet.title, questions };
      const stored = await readStored(await contain(this.folder, path), path);
      found = { ...found, opened: true };
      return { ...found, ...standingOf(readNotebookAs(stored.text, path), questions) };
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      return error.status === 404 ? found : { ...found, problem: error.message };
    }
  }

  /** The student's own copy, made from the original the first time and never overwritten. */
  async open(name: string, student: string | undefined): Promise<OpenedSheet> {
    const { notebook } = await this.originals.original(name);
    const path = pathOf(name);
    const file = await contain(this.folder, path);
    const filled = student ? withStudentNumber(notebook, student) : notebook;
    try {
      const { version } = await saveStored(file, path, writeNotebook(filled), 'nothing');
      return { path, fresh: version };
    } catch (error) {
      if (!(error instanceof Refusal) || error.status !== 409) throw error;
      await this.fillIn(name, student, [studentNumberOf(notebook)]);
    }
    return { path };
  }

  /** Keep the student number, and put it into the sheets that were opened before. */
  async setStudent(student: string): Promise<void> {
    const before = await readStudent(this.folder);
    await writeStudent(this.folder, student);
    const opened = (await this.list()).filter((sheet) => sheet.opened && !sheet.problem);
    for (const { name } of opened) {
      const { notebook } = await this.originals.original(name);
      await this.fillIn(name, student, [studentNumberOf(notebook), before]);
    }
  }

  /** Put the student number where one of `before` (the original's, the number given earlier) still stands. */
  async fillIn(
    name: string,
    student: string | undefined,
    before: readonly (string | undefined)[],
  ): Promise<void> {
    if (!student) return;
    const path = pathOf(name);
    const file = await contain(this.folder, path);
    const { text, version } = await readStored(file, path);
    const filled = withNumberInstead(readNotebookAs(text, path), student, before);
    if (filled) await saveStored(file, path, writeNotebook(filled), { version });
  }

  /** Notebooks in the work folder that are no sheet's: copies put aside, and the student's own. */
  async others(): Promise<OtherNotebook[]> {
    const sheets = new Set((await this.originals.names()).map(pathOf));
    const files = (await readdir(this.folder)).filter(
      (file) => file.endsWith('.ipynb') && !file.startsWith('.') && !sheets.has(file),
    );
    return Promise.all(
      files.sort().map(async (path) => {
        try {
          readNotebookAs((await readStored(await contain(this.folder, path), path)).text, path);
          return { path };
        } catch (error) {
          return { path, problem: (error as Error).message };
        }
      }),
    );
  }
}

/** The built sheets: `worksheets/NAME/sheet.ipynb` with its questions in `sheet.cjs` beside it. */
class Originals {
  private readonly known = new Map<string, AnySheet>();

  constructor(private readonly worksheets: string) {}

  async names(): Promise<string[]> {
    const entries = await readdir(this.worksheets, { withFileTypes: true }).catch(() => []);
    return entries
      .filter((entry) => entry.isDirectory())
      .map((entry) => entry.name)
      .sort();
  }

  /** @throws Refusal with one sentence when the sheet lacks its notebook or its questions, or one is damaged */
  async original(name: string): Promise<{ sheet: AnySheet; notebook: Notebook }> {
    if (!(await this.names()).includes(name))
      throw new Refusal(404, `There is no sheet named ${name}.`);
    const text = await readFile(join(this.worksheets, name, 'sheet.ipynb'), 'utf8').catch(() => {
      throw new Refusal(409, `The sheet ${name} has no sheet.ipynb, so there is nothing to show.`);
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
      throw new Refusal(
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

/**
 * Read a notebook that the reader knows as `name`.
 *
 * @throws Refusal (409) with one sentence when it is damaged
 */
function readNotebookAs(text: string, name: string): Notebook {
  try {
    return readNotebook(text);
  } catch (error) {
    if (error instanceof NotebookError) throw new Refusal(409, `${name}: ${error.message}`);
    throw error;
  }
}
