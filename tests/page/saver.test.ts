import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Notebook } from '../../kernel-lib/notebook/notebook';
import { type FileStore, StoreError, type StoreFault } from '../../kernel-lib/page/net/host';
import { Saver, saveFault } from '../../kernel-lib/page/sheet/saver';
import { SheetModel } from '../../kernel-lib/page/sheet/sheet-model';

const path = '02-one-slit.ipynb';
const notebook = (source: string): Notebook => ({
  nbformat: 4,
  nbformat_minor: 5,
  metadata: {},
  cells: [{ cell_type: 'markdown', id: 'a', metadata: {}, source }],
});

/** A store of two maps: whatever keeps `FileStore`'s promises serves the page. */
function memoryStore() {
  const kept = new Map<string, { notebook: Notebook; version: string }>();
  let count = 0;
  const faults: (StoreError | undefined)[] = [];
  const found = (name: string) => {
    const file = kept.get(name);
    if (!file) throw new StoreError('missing', `${name} is not there.`);
    return file;
  };
  const files: Pick<FileStore, 'read' | 'versionOf' | 'save'> = {
    read: async (name) => found(name),
    versionOf: async (name) => found(name).version,
    async save(name, content, version) {
      const fault = faults.shift();
      if (fault) throw fault;
      if ((kept.get(name)?.version ?? 'nothing') !== version)
        throw new StoreError('changed', `${name} was changed.`);
      count += 1;
      kept.set(name, { notebook: content, version: `v${count}` });
      return `v${count}`;
    },
  };
  return { files: files as FileStore, kept, faults };
}

async function opened() {
  const store = memoryStore();
  const version = await store.files.save(path, notebook('begun'), 'nothing');
  const model = new SheetModel(notebook('begun'));
  const saver = new Saver(path, model, store.files, version, 'this tab');
  const text = (name = path) => store.kept.get(name)?.notebook.cells[0].source;
  return { ...store, model, saver, text };
}

beforeEach(() => {
  vi.useFakeTimers({ now: new Date(2026, 10, 5, 9, 2, 7) });
});
afterEach(() => {
  vi.useRealTimers();
});

test('what is typed is saved by itself, once it rests', async () => {
  const { model, saver, text } = await opened();
  model.edit('a', 'one');
  expect([saver.state.value.kind, saver.dirty, text()]).toEqual(['unsaved', true, 'begun']);
  await vi.runAllTimersAsync();
  expect([saver.state.value.kind, saver.dirty, text()]).toEqual(['saved', false, 'one']);
});

test('while the store is away it goes on trying, and says so', async () => {
  const { model, saver, text, faults } = await opened();
  faults.push(new StoreError('away', 'Nothing answers.', 'Start it again.'));
  model.edit('a', 'one');
  await saver.save();
  expect(saver.state.value).toEqual({
    kind: 'waiting',
    why: 'Nothing answers. Nothing typed is lost while this page stays open. Start it again.',
  });
  await vi.runAllTimersAsync();
  expect([saver.state.value.kind, text()]).toEqual(['saved', 'one']);
});

test.each([
  ['mine', 'here', 'elsewhere'],
  ['other', 'elsewhere', 'here'],
] as const)(
  'of two versions "%s" goes on, and the other is kept aside',
  async (which, on, aside) => {
    const { model, saver, text, files } = await opened();
    await files.save(path, notebook('elsewhere'), 'v1');
    model.edit('a', 'here');
    await saver.save();
    expect(saver.state.value.kind).toBe('conflict');
    const name = '02-one-slit put aside 2026-11-05 09.02.07.ipynb';
    expect(await saver.choose(which)).toBe(name);
    expect([text(), text(name)]).toEqual([on, aside]);
    expect(model.snapshot().cells[0].source).toBe(on);
  },
);

test('a save whose answer was lost is no conflict', async () => {
  const { model, saver, files } = await opened();
  model.edit('a', 'one');
  await files.save(path, model.snapshot(), 'v1');
  await saver.save();
  expect([saver.state.value.kind, saver.dirty]).toEqual(['saved', false]);
});

test('a save of this tab that arrives after the page was loaded anew is no conflict', async () => {
  const { files, text } = await opened();
  const slow: FileStore = {
    ...files,
    async save(...args) {
      await files.save(...args);
      return new Promise<string>(() => {});
    },
  };
  const before = new SheetModel(notebook('begun'));
  const first = new Saver(path, before, slow, 'v1', 'this tab');
  before.edit('a', 'one');
  void first.save();
  await vi.advanceTimersByTimeAsync(1);
  expect(text()).toBe('one');

  const after = new SheetModel(notebook('begun'));
  const second = new Saver(path, after, files, 'v1', 'this tab');
  after.edit('a', 'one and two');
  await vi.runAllTimersAsync();
  expect([second.state.value.kind, text()]).toEqual(['saved', 'one and two']);
});

test('a sheet that was deleted meanwhile is saved anew', async () => {
  const { model, saver, text, kept } = await opened();
  kept.delete(path);
  model.edit('a', 'one');
  await vi.runAllTimersAsync();
  expect([saver.state.value.kind, text()]).toEqual(['saved', 'one']);
});

test('before handing in it tells when what is kept is another text', async () => {
  const { saver, files, model } = await opened();
  expect(await saver.settle()).toBeUndefined();
  await files.save(path, notebook('elsewhere'), 'v1');
  expect(await saver.settle()).toMatch(/changed somewhere else/);
  expect(model.snapshot().cells[0].source).toBe('elsewhere');
  expect(await saver.settle()).toBeUndefined();
});

test.each<[StoreFault, string]>([
  ['stranger', 'Do this.'],
  ['closed', 'No room. Nothing typed is lost while this page stays open. Do this.'],
  ['refused', 'No room.'],
])('why a save failed, "%s": %s', (fault, sentence) => {
  expect(saveFault(new StoreError(fault, 'No room.', 'Do this.'))).toBe(sentence);
});
