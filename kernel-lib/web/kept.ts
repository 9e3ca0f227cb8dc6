import { StoreError } from '../page/net/host';

/** A text as the browser keeps it, with the version that names exactly this text. */
export interface Kept {
  readonly text: string;
  readonly version: string;
}

const away = 'This browser keeps nothing for this page.';
const noRoom =
  'Is there room left on this device? Make the file to hand in now (Hand in …), so that nothing is lost; a private window keeps nothing either.';

/** The sentence for what the browser's database says. */
function fault(error: unknown): StoreError {
  const { name = 'unknown' } = (error ?? {}) as Partial<DOMException>;
  if (name === 'QuotaExceededError')
    return new StoreError('closed', 'This browser has no room for more.', noRoom);
  return new StoreError('closed', `${away} (${name})`, noRoom);
}

const settled = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });

const hex = (bytes: ArrayBuffer): string =>
  [...new Uint8Array(bytes)].map((byte) => byte.toString(16).padStart(2, '0')).join('');

const versionOf = async (text: string): Promise<string> =>
  hex(await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text)));

/** Texts by name in the browser's own database (IndexedDB), shared by all tabs of a site. */
export class KeptTexts {
  private database: Promise<IDBDatabase> | undefined;

  /** @param name of the database: one for each site, of which an origin may have several */
  constructor(private readonly name: string) {}

  private open(): Promise<IDBDatabase> {
    this.database ??= new Promise<IDBDatabase>((done, fail) => {
      const request = indexedDB.open(this.name, 1);
      request.onupgradeneeded = () => request.result.createObjectStore('texts');
      request.onsuccess = () => {
        const { result } = request;
        // The browser may close it, for want of room or when its data are cleared: ask anew next time.
        result.onclose = () => {
          this.database = undefined;
        };
        result.onversionchange = () => result.close();
        done(result);
      };
      request.onerror = () => fail(request.error);
    });
    this.database.catch(() => {
      this.database = undefined;
    });
    return this.database;
  }

  private async within<T>(
    mode: IDBTransactionMode,
    work: (texts: IDBObjectStore) => Promise<T>,
  ): Promise<T> {
    try {
      const transaction = (await this.open()).transaction('texts', mode);
      const over = new Promise<void>((done, fail) => {
        transaction.oncomplete = () => done();
        transaction.onabort = () => fail(transaction.error);
      });
      over.catch(() => {});
      const result = await work(transaction.objectStore('texts'));
      // Only then it is on the disk.
      await over;
      return result;
    } catch (error) {
      throw error instanceof StoreError ? error : fault(error);
    }
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

  /**
   * Keep a text if what is there is still of this version, or nothing. Looking and writing are one transaction: two
   * tabs cannot come between each other.
   *
   * @returns its version
   * @throws StoreError `changed` when something else is there by now; that one is left alone
   */
  async write(
    name: string,
    text: string,
    expected: string | 'nothing' | 'anything',
  ): Promise<string> {
    const version = await versionOf(text);
    await this.within('readwrite', async (texts) => {
      const there = await settled<Kept | undefined>(texts.get(name));
      const isExpected = expected === 'anything' || expected === (there?.version ?? 'nothing');
      if (!isExpected)
        throw new StoreError(
          'changed',
          there
            ? `${name} was changed in another tab since this page read it.`
            : `${name} is not there any more: was the data of this site cleared?`,
        );
      await settled(texts.put({ text, version } satisfies Kept, name));
    });
    return version;
  }
}
