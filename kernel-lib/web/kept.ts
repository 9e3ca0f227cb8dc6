import { shortDigest } from '../numerics/random';
import { Database, settled } from '../page/database';
import { StoreError } from '../page/net/host';

/** A text as the browser keeps it, with the version that names exactly this text. */
export interface Kept {
  readonly text: string;
  readonly version: string;
}

/** Under which name the student number is kept. */
export const student = 'student number';

/** Under which name the student's copy of a sheet is kept. */
export const pathOf = (sheet: string): string => `${sheet}.ipynb`;

const besidePrefix = 'beside/';

/** Under which name a file beside the notebooks is kept, as base64. */
export const besideName = (name: string): string => besidePrefix + name;

/** The files beside the notebooks among all names. */
export const besideNames = (names: readonly string[]): string[] =>
  names.flatMap((name) => (name.startsWith(besidePrefix) ? name.slice(besidePrefix.length) : []));

/** Texts by name, each with its version. */
export interface Texts {
  names(): Promise<string[]>;
  read(name: string): Promise<Kept | undefined>;
  /**
   * Keep a text if what is there is still of this version, or nothing.
   *
   * @returns its version
   * @throws StoreError `changed` when something else is there by now; that one is left alone
   */
  write(name: string, text: string, expected: string | 'nothing' | 'anything'): Promise<string>;
}

const away = 'This browser keeps nothing for this page.';
const noRoom =
  'Press Download above, so that the work has a place of its own, then make room on this device.';

/** The sentence for what the browser's database says. */
function fault(error: unknown): StoreError {
  const { name = 'unknown' } = (error ?? {}) as Partial<DOMException>;
  if (name === 'QuotaExceededError')
    return new StoreError('closed', 'This browser has no room for more.', noRoom);
  return new StoreError('closed', `${away} (${name})`, noRoom);
}

const versionOf = (text: string): string => shortDigest(text, [1, 2, 3, 4]);

function requireExpected(name: string, there: Kept | undefined, expected: string): void {
  if (expected === 'anything' || expected === (there?.version ?? 'nothing')) return;
  throw new StoreError(
    'changed',
    there
      ? `${name} was changed in another tab since this page read it.`
      : `${name} is not there any more: was the data of this site cleared?`,
  );
}

/** Texts that only this tab holds, where the browser keeps nothing. */
export class TabsTexts implements Texts {
  private readonly texts = new Map<string, Kept>();

  async names(): Promise<string[]> {
    return [...this.texts.keys()];
  }

  async read(name: string): Promise<Kept | undefined> {
    return this.texts.get(name);
  }

  async write(name: string, text: string, expected: string): Promise<string> {
    requireExpected(name, this.texts.get(name), expected);
    const version = versionOf(text);
    this.texts.set(name, { text, version });
    return version;
  }
}

/** Texts by name in the browser's own database (IndexedDB), shared by all tabs of a site. */
export class KeptTexts implements Texts {
  private readonly database: Database;

  /** @param name of the database: one for each site, of which an origin may have several */
  constructor(name: string) {
    this.database = new Database(name, 'texts');
  }

  private within<T>(
    mode: IDBTransactionMode,
    work: (texts: IDBObjectStore) => Promise<T>,
  ): Promise<T> {
    return this.database.within(mode, work).catch((error) => {
      throw error instanceof StoreError ? error : fault(error);
    });
  }

  /** @throws StoreError `closed` where the browser keeps nothing for this page */
  async look(): Promise<void> {
    await this.names();
  }

  names(): Promise<string[]> {
    return this.within(
      'readonly',
      async (texts) => (await settled(texts.getAllKeys())) as string[],
    );
  }

  read(name: string): Promise<Kept | undefined> {
    return this.within('readonly', (texts) => settled<Kept | undefined>(texts.get(name)));
  }

  /** Looking and writing are one transaction: two tabs cannot come between each other. */
  async write(
    name: string,
    text: string,
    expected: string | 'nothing' | 'anything',
  ): Promise<string> {
    const version = versionOf(text);
    await this.within('readwrite', async (texts) => {
      const there = await settled<Kept | undefined>(texts.get(name));
      requireExpected(name, there, expected);
      await settled(texts.put({ text, version } satisfies Kept, name));
    });
    return version;
  }
}
