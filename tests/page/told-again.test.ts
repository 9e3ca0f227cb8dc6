import { describe, expect, test } from 'vitest';
import type { Cell, CodeCell, Notebook, Output } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { asSaved, changedCells, verdictsOf } from '../../kernel-lib/page/sheet/drafts';
import { SheetModel } from '../../kernel-lib/page/sheet/sheet-model';
import { questionRows, totals } from '../../kernel-lib/page/sheet/standing';
import { digestOfWork, withWorking } from '../../kernel-lib/page/sheet/working';
import { verdictMimeType } from '../../kernel-lib/questions/verdict';
import { handedInOf } from '../../kernel-lib/travels/handed-in';

const code = (id: string, source: string, outputs: Output[] = []): CodeCell => ({
  cell_type: 'code',
  id,
  source,
  metadata: {
    multislit: { sheet: 's', role: id.startsWith('c') ? 'answer' : 'work', question: '1.1' },
  },
  execution_count: null,
  outputs,
});
const verdict = (state: string, marks: number): Output => ({
  output_type: 'display_data',
  data: {
    [verdictMimeType]: { question: '1.1', asks: 'x', state, marks, outOf: 2, message: 'm' },
    'text/plain': 'two\nlines',
  },
  metadata: {},
});
const notebook = (cells: Cell[]): Notebook => ({
  nbformat: 4,
  nbformat_minor: 5,
  metadata: {},
  cells,
});
const listed = [{ id: '1.1', asks: 'x', marks: 2, kind: 'number' }];

describe('a verdict that was not saved yet', () => {
  const before = [code('w', 'const a = 1;'), code('c', "check('1.1', a)")];
  const after = [before[0], code('c', "check('1.1', a)", [verdict('agrees', 2)])];

  test('is kept with what was typed; once saved it is not', () => {
    expect(changedCells(after, asSaved(before))).toMatchObject([
      { id: 'c', checked: { outputs: [verdict('agrees', 2)], base: '' } },
    ]);
    expect(changedCells(after, asSaved(after))).toEqual([]);
  });
  test('is told from another one, however the file writes them', () => {
    const [, read] = readNotebook(writeNotebook(notebook(after))).cells;
    expect(verdictsOf(read)).toBe(verdictsOf(after[1]));
    expect(verdictsOf(code('c', '', [verdict('not yet', 0)]))).not.toBe(verdictsOf(read));
  });
  test('other outputs are left out: they may be large', () => {
    const figure: Output = { output_type: 'stream', name: 'stdout', text: 'x'.repeat(9) };
    const [{ checked }] = changedCells(
      [before[0], code('c', "check('1.1', a)", [figure, verdict('agrees', 2)])],
      asSaved(before),
    );
    expect(checked?.outputs).toEqual([verdict('agrees', 2)]);
  });
});

describe('a mark', () => {
  const checked = (source: string): Cell[] => {
    const cells = [code('w', source), code('c', "check('1.1', a)")];
    const outputs = withWorking([verdict('agrees', 2)], digestOfWork(cells, '1.1'));
    return [cells[0], { ...cells[1], outputs }];
  };
  test('whose working was changed since says so, and counts as before', () => {
    const cells = checked('const a = 1;');
    expect(questionRows(cells, listed)[0].changed).toBeUndefined();
    const edited = [code('w', 'const a = 2;'), cells[1]];
    const rows = questionRows(edited, listed);
    expect(rows[0]).toMatchObject({ state: 'agrees', marks: 2, changed: true });
    expect(totals(rows).marks).toBe(2);
  });
  test('of a question that has no answer is not decided', () => {
    const cells = [code('w', 'const a = blank;'), code('c', 'check', [verdict('open', 0)])];
    expect(questionRows(cells, listed)[0]).toMatchObject({ state: 'open', marks: undefined });
  });
});

describe('a sheet that was handed in', () => {
  test('says when, and whether anything was written since; the file keeps it', () => {
    const model = new SheetModel(notebook([code('w', 'const a = 1;')]));
    expect(model.handedIn.value).toBeUndefined();
    const at = new Date(Date.UTC(2026, 10, 27, 9, 30));
    model.noteHandedIn(at);
    expect(model.handedIn.value).toEqual({ at: '2026-11-27T09:30:00.000Z', changed: false });
    const kept = () => handedInOf(readNotebook(writeNotebook(model.snapshot())));
    expect(kept()).toEqual({ at: '2026-11-27T09:30:00.000Z', changed: false });
    // What came out says nothing of what was written.
    model.setOutputs('w', [{ output_type: 'stream', name: 'stdout', text: '1' }], 1);
    expect(kept()?.changed).toBe(false);
    model.edit('w', 'const a = 2;');
    expect(model.handedIn.value?.changed).toBe(true);
    expect(kept()?.changed).toBe(true);
    model.edit('w', 'const a = 1;');
    expect(kept()?.changed).toBe(false);
  });
  test('what does not look like it is none', () => {
    for (const multislit of [null, 'x', {}, { handedIn: { at: 'soon' } }, { handedIn: { at: 5 } }])
      expect(handedInOf({ metadata: { multislit }, cells: [] })).toBeUndefined();
  });
});
