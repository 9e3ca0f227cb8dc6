import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import {
  type CodeCell,
  cellById,
  type Notebook,
  sourceOf,
  tagOf,
} from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { needsFirst, workCellsOf } from '../../kernel-lib/page/sheet/working';
import { originalOf } from '../cli/class-for-test';

/** Sheet 2 with a student's work and verdicts, saved by the program as it was before the names were changed. */
const text = readFileSync(new URL('earlier-names.ipynb', import.meta.url), 'utf8');
const asWritten = JSON.parse(text) as Notebook;
const old = readNotebook(text);
const own = 'own-5d2f7c1e-9a3b';

const code = (id: string, role?: string): CodeCell => ({
  cell_type: 'code',
  id,
  source: '',
  metadata: (role ? { multislit: { sheet: '02-one-slit', role } } : {}) as CodeCell['metadata'],
  execution_count: null,
  outputs: [],
});
const read = (...cells: CodeCell[]) =>
  readNotebook(writeNotebook({ nbformat: 4, nbformat_minor: 5, metadata: {}, cells })).cells;

describe('a sheet saved under earlier names', () => {
  test('has the cells of the sheet of today, the student’s own where it stood', () => {
    // All but the slider to play with, which came later.
    const sheet = originalOf('02-one-slit').cells.filter(({ id }) => id !== 'look-move');
    expect(old.cells.map(({ id }) => id).filter((id) => id !== own)).toEqual(
      sheet.map(({ id }) => id),
    );
    expect(old.cells.findIndex(({ id }) => id === own)).toBe(
      sheet.findIndex(({ id }) => id === '2-1-work'),
    );
    for (const { id } of sheet)
      expect(tagOf(cellById(old, id)!)).toEqual(tagOf(sheet.find((cell) => cell.id === id)!));
  });

  test('keeps every text and every verdict', () => {
    expect(old.cells.map(sourceOf)).toEqual(asWritten.cells.map(sourceOf));
    const outputs = (notebook: Notebook) =>
      notebook.cells.flatMap((cell) => (cell.cell_type === 'code' ? cell.outputs : []));
    expect(outputs(old)).toEqual(outputs(asWritten));
    expect(outputs(old)).toHaveLength(8);
  });

  test('runs on the page as a sheet of today does', () => {
    expect(workCellsOf(old.cells, '2.1').map(({ id }) => id)).toEqual([own, '2-1-work']);
    expect(needsFirst(old.cells, '2-1-answer', new Map())).toEqual([
      'student-number',
      'given',
      own,
      '2-1-work',
    ]);
  });
});

test('the file is not touched by names that only look like earlier ones', () => {
  const ids = (cells: readonly { id: string }[]) => cells.map(({ id }) => id);
  // A notebook of the reader's own, without a cell of any sheet.
  expect(ids(read(code('setup'), code('1-1-check')))).toEqual(['setup', '1-1-check']);
  const strange = ['a-1-check', '1-1-check-2', 'set-up', 'my-setup'];
  expect(ids(read(code('given', 'given'), ...strange.map((id) => code(id))))).toEqual([
    'given',
    ...strange,
  ]);
});

test('no cell takes the name of one that is there', () => {
  const cells = read(
    code('setup', 'setup'),
    code('given', 'given'),
    code('2-1-answer', 'answer'),
    code('2-1-check', 'check'),
  );
  expect(cells.map((cell) => [cell.id, tagOf(cell)?.role])).toEqual([
    ['setup', 'given'],
    ['given', 'given'],
    ['2-1-answer', 'answer'],
    ['2-1-check', 'answer'],
  ]);
});

test('a mark that is none stays as it is', () => {
  const odd = code('setup');
  odd.metadata = { multislit: 'check' } as never;
  const [cell] = read(odd, code('title', 'text'));
  expect(cell.metadata).toEqual({ multislit: 'check' });
});
