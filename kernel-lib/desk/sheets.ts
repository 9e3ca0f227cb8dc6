import { readdir, readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { markOf } from '../notebook/marks';
import { type Notebook, NotebookError } from '../notebook/notebook';
import { readNotebook } from '../notebook/read';
import { studentNumberOf, withStudentNumber } from '../notebook/student-number';
import { sourceOf } from '../notebook/text';
import { writeNotebook } from '../notebook/write';
import type { AnyQuestion, AnySheet } from '../questions/sheet';
import { Problem } from './problem';
import { readStored, saveStored } from './store';
import { readStudent, writeStudent } from './student';
import { standingOf } from './verdicts';

/** A question as the page lists it. */
export interface ListedQuestion {
  id: string;
  asks: string;
  marks: number;
  kind: string;
  /** Of a written question: what stands in its cell before anything is written. */
  blank?: string;
}

/** A sheet as the front page lists it. */
export interface ListedSheet {
  name: string;
  title: string;
  /** The student's copy, relative to the work folder. */
  path: string;
  opened: boolean;
  questions: ListedQuestion[];
  states: Record<string, string>;
  marks: number;
  /** One sentence when the sheet cannot be used. */
  problem?: string;
}

/** A sheet opened; `fresh` is the version of a copy just made, which holds nothing but the master's own cells. */
export interface Opened {
  path: string;
  fresh?: string;
}

const load = createRequire(import.meta.url);
const pathOf = (name: string) => `${name}.ipynb`;

/** The built sheets: `worksheets/NAME/sheet.ipynb` with its questions in `sheet.cjs` beside it. */
export class Sheets {
  private readonly known = new Map<string, AnySheet>();

  constructor(
    readonly folder: string,
    private readonly worksheets: string,
  ) {}

  async names(): Promise<string[]> {
    const entries = await readdir(this.worksheets, { withFileTypes: true }).catch(() => []);
    return entries
      .filter((entry) => entry.isDirectory())
      .map((entry) => entry.name)
      .sort();
  }

  /** @throws Problem with one sentence when the sheet lacks its notebook or its questions, or one is damaged */
  private async master(name: string): Promise<{ sheet: AnySheet; notebook: Notebook }> {
    if (!(await this.names()).includes(name))
      throw new Problem(404, `There is no sheet named ${name}.`);
    const text = await readFile(join(this.worksheets, name, 'sheet.ipynb'), 'utf8').catch(() => {
      throw new Problem(409, `The sheet ${name} has no sheet.ipynb, so there is nothing to show.`);
    });
    const notebook = readAs(text, `The sheet ${name}`);
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

  async list(): Promise<ListedSheet[]> {
    return Promise.all((await this.names()).map((name) => this.listed(name)));
  }

  private async listed(name: string): Promise<ListedSheet> {
    const path = pathOf(name);
    const blank = { name, title: name, path, opened: false, questions: [], states: {}, marks: 0 };
    let found: ListedSheet = blank;
    try {
      const { sheet, notebook } = await this.master(name);
      const questions = sheet.questions.map((question) => listed(question, notebook));
      found = { ...blank, title: sheet.title, questions };
      const stored = await readStored(join(this.folder, path), path);
      found = { ...found, opened: true };
      return { ...found, ...standingOf(readAs(stored.text, path)) };
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      return error.status === 404 ? found : { ...found, problem: error.message };
    }
  }

  /** The student's own copy, made from the master the first time and never overwritten. */
  async open(name: string, student: string | undefined): Promise<Opened> {
    const { notebook } = await this.master(name);
    const path = pathOf(name);
    const file = join(this.folder, path);
    const filled = student ? withStudentNumber(notebook, student) : notebook;
    try {
      const { version } = await saveStored(file, path, writeNotebook(filled), 'nothing');
      return { path, fresh: version };
    } catch (error) {
      if (!(error instanceof Problem) || error.status !== 409) throw error;
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
      const { notebook } = await this.master(name);
      await this.fillIn(name, student, [studentNumberOf(notebook), before]);
    }
  }

  /** Put the student number where one of `before` (the master's, the number given earlier) still stands. */
  async fillIn(
    name: string,
    student: string | undefined,
    before: readonly (string | undefined)[],
  ): Promise<void> {
    if (!student) return;
    const path = pathOf(name);
    const file = join(this.folder, path);
    const { text, version } = await readStored(file, path);
    const notebook = readAs(text, path);
    const there = studentNumberOf(notebook);
    if (there === undefined || there === student || !before.includes(there)) return;
    const changed = writeNotebook(withStudentNumber(notebook, student));
    await saveStored(file, path, changed, { version });
  }

  /** Notebooks in the work folder that are no sheet's: copies put aside, and the student's own. */
  async others(): Promise<{ path: string; problem?: string }[]> {
    const sheets = new Set((await this.names()).map(pathOf));
    const files = (await readdir(this.folder)).filter(
      (file) => file.endsWith('.ipynb') && !file.startsWith('.') && !sheets.has(file),
    );
    return Promise.all(
      files.sort().map(async (path) => {
        try {
          readAs((await readStored(join(this.folder, path), path)).text, path);
          return { path };
        } catch (error) {
          return { path, problem: (error as Error).message };
        }
      }),
    );
  }
}

function listed({ id, asks, marks, kind }: AnyQuestion, master: Notebook): ListedQuestion {
  if (kind !== 'written') return { id, asks, marks, kind };
  const cell = master.cells.find((one) => {
    const mark = markOf(one);
    return mark?.role === 'written' && mark.question === id;
  });
  return { id, asks, marks, kind, blank: cell ? sourceOf(cell) : '' };
}

function readAs(text: string, name: string): Notebook {
  try {
    return readNotebook(text);
  } catch (error) {
    if (error instanceof NotebookError) throw new Problem(409, `${name}: ${error.message}`);
    throw error;
  }
}
