import { base64, bytesOfBase64 } from '../display/base64';
import {
  type Notebook,
  NotebookError,
  studentNumberOf,
  withNumberInstead,
  withStudentNumber,
} from '../notebook/notebook';
import { readNotebook } from '../notebook/read-notebook';
import { writeNotebook } from '../notebook/write-notebook';
import {
  type FileStore,
  type FilesBeside,
  isFault,
  type NotebookFile,
  StoreError,
} from '../page/net/host';
import { typedStudentNumber } from '../questions/student-number';
import type { ListedSheet, OpenedSheet, OtherNotebook, SheetList } from '../travels/sheet-list';
import { standingOf } from '../travels/standing';
import type { Carried } from './carried';
import { besideName, besideNames, type Kept, pathOf, student, type Texts } from './kept';
import { originalNotebook, type SiteSheet, siteSheets } from './site';

/** @throws StoreError `damaged` */
function notebookIn({ text }: Kept, path: string): Notebook {
  try {
    return readNotebook(text);
  } catch (error) {
    if (error instanceof NotebookError)
      throw new StoreError('damaged', `${path}: ${error.message}`);
    throw error;
  }
}

/** The student's notebooks in this browser; the originals come from the site. */
export class BrowserFiles implements FileStore {
  /** @param kept texts; `lasts` where they outlive this tab */
  constructor(
    private readonly kept: Texts,
    readonly carrying: Carried,
  ) {}

  private async student(): Promise<string | undefined> {
    return (await this.kept.read(student))?.text;
  }

  /** @throws StoreError `missing` */
  private async there(path: string, shown = path): Promise<Kept> {
    const found = await this.kept.read(path);
    if (found) return found;
    throw new StoreError('missing', `${shown} is not there: was the data of this site cleared?`);
  }

  async list(): Promise<SheetList> {
    const [listed, names, whose] = await Promise.all([
      siteSheets(),
      this.kept.names(),
      this.student(),
    ]);
    const sheets = await Promise.all(listed.map((sheet) => this.listed(sheet)));
    const own = new Set(sheets.map(({ path }) => path));
    const more = names.filter((name) => name.endsWith('.ipynb') && !own.has(name)).sort();
    const others = await Promise.all(more.map((path) => this.other(path)));
    return { folder: null, student: whose ?? null, sheets, others };
  }

  private async listed({ name, title, questions }: SiteSheet): Promise<ListedSheet> {
    const path = pathOf(name);
    const blank = { name, title, path, opened: false, questions, states: {}, marks: 0 };
    const found = await this.kept.read(path);
    if (!found) return blank;
    try {
      const notebook = notebookIn(found, path);
      const download = await this.carrying.download(path, notebook);
      return { ...blank, opened: true, ...standingOf(notebook, questions), download };
    } catch (error) {
      if (!isFault(error, 'damaged')) throw error;
      return { ...blank, opened: true, problem: error.message };
    }
  }

  private async other(path: string): Promise<OtherNotebook> {
    try {
      notebookIn(await this.there(path), path);
      return { path };
    } catch (error) {
      return { path, problem: (error as Error).message };
    }
  }

  async open(sheet: string): Promise<OpenedSheet> {
    const path = pathOf(sheet);
    const original = await originalNotebook(sheet);
    const whose = await this.student();
    const filled = whose ? withStudentNumber(original, whose) : original;
    try {
      return { path, fresh: await this.kept.write(path, writeNotebook(filled), 'nothing') };
    } catch (error) {
      if (!isFault(error, 'changed')) throw error;
      if (whose) await this.fillIn(path, whose, [studentNumberOf(original)]);
      return { path };
    }
  }

  async read(path: string): Promise<NotebookFile> {
    const found = await this.there(path);
    return { notebook: notebookIn(found, path), version: found.version };
  }

  async versionOf(path: string): Promise<string> {
    return (await this.there(path)).version;
  }

  save(path: string, notebook: Notebook, version: string | 'nothing'): Promise<string> {
    return this.kept.write(path, writeNotebook(notebook), version);
  }

  async setStudent(typed: string): Promise<void> {
    let number: string;
    try {
      number = typedStudentNumber(typed);
    } catch (error) {
      throw new StoreError('refused', (error as Error).message);
    }
    await this.carrying.askToKeep();
    const before = await this.student();
    await this.kept.write(student, number, 'anything');
    for (const { name, path, opened, problem } of (await this.list()).sheets) {
      if (!opened || problem) continue;
      const original = studentNumberOf(await originalNotebook(name));
      await this.fillIn(path, number, [original, before]);
    }
  }

  readonly beside: FilesBeside = {
    names: async () => besideNames(await this.kept.names()),
    read: async (name) => bytesOfBase64((await this.there(besideName(name), name)).text),
    keep: async (name, bytes) => {
      await this.kept.write(besideName(name), base64(bytes), 'nothing');
    },
  };

  /** Put the student number where one of `before` (the original's, the number given earlier) still stands. */
  private async fillIn(
    path: string,
    number: string,
    before: readonly (string | undefined)[],
  ): Promise<void> {
    const { notebook, version } = await this.read(path);
    const filled = withNumberInstead(notebook, number, before);
    if (filled) await this.save(path, filled, version);
  }
}
