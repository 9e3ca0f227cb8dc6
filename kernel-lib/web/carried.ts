import type { Notebook } from '../notebook/notebook';
import type { Carrying, Keeping, MadeFile } from '../page/net/host';
import type { Download } from '../travels/sheet-list';
import { pathOf, type Texts } from './kept';
import { digestOfAll } from './own-work';
import { originalNotebook, siteSheets } from './site';

/** What is noted when a file is made: the work that it holds, and when, ms since 1970. */
interface Noted {
  readonly work: string;
  readonly at: number;
  /** It came out of a file, which is there still. */
  readonly brought?: boolean;
}

const noteOf = (path: string) => `${path} downloaded`;

/** The ways out of this browser and back in. */
export class Carried implements Carrying {
  private readonly blanks = new Map<string, string>();

  /** @param lasts whether the texts outlive this tab */
  constructor(
    private readonly kept: Texts,
    private readonly lasts: boolean,
  ) {}

  /** Unless asked, a browser may clear what sites keep when a device runs out of room. */
  async askToKeep(): Promise<void> {
    if (this.lasts) await navigator.storage?.persist?.().catch(() => false);
  }

  async keeping(): Promise<Keeping> {
    if (!this.lasts) return 'nowhere';
    const isPromised = await navigator.storage?.persisted?.().catch(() => false);
    return isPromised ? 'promised' : 'not promised';
  }

  /** The digest of a sheet in which nothing is written. */
  private async blank(path: string): Promise<string | undefined> {
    const known = this.blanks.get(path);
    if (known !== undefined) return known;
    const sheet = (await siteSheets()).find(({ name }) => path === pathOf(name));
    if (!sheet) return undefined;
    const digest = digestOfAll(await originalNotebook(sheet.name));
    this.blanks.set(path, digest);
    return digest;
  }

  async download(path: string, notebook: Notebook): Promise<Download> {
    const [found, blank] = await Promise.all([this.kept.read(noteOf(path)), this.blank(path)]);
    const work = digestOfAll(notebook);
    const noted: Noted | undefined = found && JSON.parse(found.text);
    if (work === noted?.work) return { kind: 'whole', at: noted.at, brought: noted.brought };
    if (work === blank) return { kind: 'blank' };
    return { kind: 'behind', at: noted?.at };
  }

  async made(path: string, notebook: Notebook, brought?: boolean): Promise<void> {
    const note: Noted = { work: digestOfAll(notebook), at: Date.now(), brought };
    // Where nothing more can be kept, the file is what counts.
    await this.kept.write(noteOf(path), JSON.stringify(note), 'anything').catch(() => {});
  }

  async everything(): Promise<MadeFile> {
    const { allInOne } = await import('./in-and-out');
    return allInOne(this.kept, this);
  }

  async bringIn(files: readonly File[]): Promise<readonly string[]> {
    const { bringIn } = await import('./in-and-out');
    return bringIn(files, this.kept, this);
  }
}
