/** What a request is answered. */
export const settled = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });

/** One store in a database of the browser's own (IndexedDB), which says when something is on the disk. */
export class Database {
  private opened: Promise<IDBDatabase> | undefined;

  constructor(
    private readonly name: string,
    private readonly store: string,
    private readonly options?: IDBObjectStoreParameters,
  ) {}

  /** Opened once: that takes longer than most of what is done in it. */
  private open(): Promise<IDBDatabase> {
    this.opened ??= new Promise<IDBDatabase>((done, fail) => {
      const request = indexedDB.open(this.name, 1);
      request.onupgradeneeded = () => request.result.createObjectStore(this.store, this.options);
      request.onsuccess = () => {
        const { result } = request;
        const forget = () => {
          this.opened = undefined;
        };
        // The browser may close it, for want of room or when its data are cleared: ask anew next time.
        result.onclose = forget;
        result.onversionchange = () => {
          result.close();
          forget();
        };
        done(result);
      };
      request.onerror = () => fail(request.error);
    });
    this.opened.catch(() => {
      this.opened = undefined;
    });
    return this.opened;
  }

  /** Do this in one transaction. @returns what it comes to, once that is on the disk */
  async within<T>(
    mode: IDBTransactionMode,
    work: (store: IDBObjectStore) => Promise<T>,
  ): Promise<T> {
    const transaction = (await this.open()).transaction(this.store, mode);
    const over = new Promise<void>((done, fail) => {
      transaction.oncomplete = () => done();
      transaction.onabort = () => fail(transaction.error);
    });
    over.catch(() => {});
    const result = await work(transaction.objectStore(this.store));
    await over;
    return result;
  }
}
