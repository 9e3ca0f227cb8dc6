import { expect, test } from 'vitest';
import type { Cell, Notebook } from '../../kernel-lib/notebook/notebook';
import { notebookFault } from '../../kernel-lib/notebook/read-notebook';
import { asSaved, changedCells } from '../../kernel-lib/page/sheet/drafts';
import { AddedCells, SheetModel } from '../../kernel-lib/page/sheet/sheet-model';

const cell = (id: string): Cell => ({
  cell_type: 'code',
  id,
  source: id,
  metadata: { multislit: { sheet: 's', role: 'work', question: '1' } },
  execution_count: null,
  outputs: [],
});

function sheet() {
  const notebook: Notebook = {
    nbformat: 4,
    nbformat_minor: 5,
    metadata: {},
    cells: [cell('a'), cell('b'), cell('c')],
  };
  const model = new SheetModel(notebook);
  return { model, own: new AddedCells(model), ids: () => model.cells.value.map(({ id }) => id) };
}

test('a cell goes above or below another, and is a plain cell of nbformat', () => {
  const { model, own, ids } = sheet();
  const below = own.addBelow('b', 'working');
  const above = own.addAbove('b', 'note');
  expect(ids()).toEqual(['a', above, 'b', below, 'c']);
  expect(notebookFault(model.snapshot())).toBeUndefined();
  expect(model.cell(below)?.metadata).toEqual({});
});

test('one taken out comes back to its place with what was in it, whatever was changed meanwhile', () => {
  const { model, own, ids } = sheet();
  const [first, second] = [own.addBelow('a', 'working'), own.addBelow('b', 'note')];
  model.edit(first, 'const kept = 1;');
  model.setOutputs(first, [{ output_type: 'stream', name: 'stdout', text: '1\n' }], 4);
  own.remove(first);
  own.remove(second);
  expect(ids()).toEqual(['a', 'b', 'c']);
  model.setOutputs('c', []);
  model.edit('c', 'other');
  expect([own.putBack(), own.putBack(), own.putBack()]).toEqual([second, first, undefined]);
  expect(ids()).toEqual(['a', first, 'b', second, 'c']);
  expect(model.cell(first)).toMatchObject({
    source: 'const kept = 1;',
    outputs: [{ text: '1\n' }],
    execution_count: 4,
  });
});

test('it comes back behind the nearest cell that is left, and never twice', () => {
  const { own, ids } = sheet();
  const first = own.addBelow('a', 'note');
  const second = own.addBelow(first, 'note');
  own.remove(second);
  own.remove(first);
  own.forget();
  expect(own.putBack()).toBeUndefined();
  expect(ids()).toEqual(['a', 'b', 'c']);
});

test("the sheet's own cells cannot be taken out", () => {
  const { own, ids } = sheet();
  own.remove('b');
  expect(ids()).toEqual(['a', 'b', 'c']);
  expect(own.removed.value).toEqual([]);
});

test('a draft holds what was changed, and a cell that was never saved with its place', () => {
  const { model, own } = sheet();
  const saved = asSaved(model.cells.value);
  const added = own.addBelow('a', 'note');
  model.edit(added, 'Mine.');
  model.edit('c', 'changed');
  expect(changedCells(model.cells.value, saved)).toEqual([
    { id: added, base: '', source: 'Mine.', own: 'note', above: ['a'] },
    { id: 'c', base: 'c', source: 'changed' },
  ]);
  expect(changedCells(model.cells.value, asSaved(model.cells.value))).toEqual([]);
});
