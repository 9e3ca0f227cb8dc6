import { readdir } from 'node:fs/promises';
import type { Notebook } from '../notebook/notebook';
import { writtenCell } from '../notebook/original-with-work';
import { studentNumberOf, withStudentNumber } from '../notebook/student-number';
import { sourceOf } from '../notebook/text';
import { writeNotebook } from '../notebook/write';
import type { AnyQuestion } from '../questions/sheet';
import type {
  ListedQuestion,
  ListedSheet,
  OpenedSheet,
  OtherNotebook,
} from '../travels/listed-sheet';
import { contain } from './contain';
import { Originals } from './originals';
import { Problem } from './problem';
import { readNotebookAs } from './read-notebook-as';
import { readStored, saveStored } from './store';
import { readStudent, writeStudent } from './student';
import { standingOf } from './verdicts';

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
      const questions = sheet.questions.map((question) => listed(question, notebook));
      found = { ...blank, title: sheet.title, questions };
      const stored = await readStored(await contain(this.folder, path), path);
      found = { ...found, opened: true };
      return { ...found, ...standingOf(readNotebookAs(stored.text, path), questions) };
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
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
    const notebook = readNotebookAs(text, path);
    const there = studentNumberOf(notebook);
    if (there === undefined || there === student || !before.includes(there)) return;
    const changed = writeNotebook(withStudentNumber(notebook, student));
    await saveStored(file, path, changed, { version });
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

function listed({ id, asks, marks, kind }: AnyQuestion, original: Notebook): ListedQuestion {
  if (kind !== 'written') return { id, asks, marks, kind };
  const cell = writtenCell(original.cells, id);
  return { id, asks, marks, kind, blank: cell ? sourceOf(cell) : '' };
}
