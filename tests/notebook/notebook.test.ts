import { describe, expect, test } from 'vitest';
import {
  type Cell,
  type CodeCell,
  type Notebook,
  originalWithWork,
  type Role,
  sheetOf,
  sourceOf,
  splitLines,
  studentNumberOf,
  tagOf,
  withoutOutputs,
  withSources,
  withStudentNumber,
} from '../../kernel-lib/notebook/notebook';
import { notebookFault, readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';

function code(id: string, source: string, role?: Role): CodeCell {
  const metadata = role ? { multislit: { sheet: '02-one-slit', role } } : {};
  return { cell_type: 'code', id, source, metadata, execution_count: null, outputs: [] };
}

function notebook(cells: Cell[]): Notebook {
  return { nbformat: 4, nbformat_minor: 5, metadata: {}, cells };
}

const original = notebook([
  code('student-number', "const studentNumber = '000000'; // yours", 'work'),
  code('given', 'begin()', 'given'),
  code('work-2-1', 'const x = blank;', 'work'),
  code('answer-2-1', "check('2.1', x)", 'answer'),
]);

describe('reading', () => {
  test('what was written reads back the same', () => {
    const text = writeNotebook(original);
    expect(readNotebook(text).cells.map(sourceOf)).toEqual(original.cells.map(sourceOf));
    expect(text.endsWith('}\n')).toBe(true);
    expect(writeNotebook(readNotebook(text))).toBe(text);
  });

  test('outputs and foreign metadata survive', () => {
    const cell = code('a', 'x');
    cell.metadata = { collapsed: true, theirs: { deep: [1] } };
    cell.outputs = [
      { output_type: 'stream', name: 'stdout', text: 'one\ntwo\n' },
      { output_type: 'display_data', data: { 'text/html': '<b>\n</b>' }, metadata: {} },
      { output_type: 'error', ename: 'RangeError', evalue: 'no', traceback: [] },
    ];
    const back = readNotebook(writeNotebook(notebook([cell]))).cells[0] as CodeCell;
    expect(back.metadata).toEqual(cell.metadata);
    expect(back.outputs[0]).toEqual({ ...cell.outputs[0], text: ['one\n', 'two\n'] });
    expect(back.outputs[2]).toEqual(cell.outputs[2]);
  });

  test.each([
    ['', /empty/],
    ['{"cells": [', /not JSON.*cut off/],
    ['\uFEFF{"cells": [', /not JSON.*cut off/],
    ['Dear all, my sheet is attached.', /not a notebook, nor the beginning of one\. Choose/],
    ['[1, 2]', /not a notebook/],
    [
      '{"nbformat": 3, "nbformat_minor": 0, "worksheets": [], "metadata": {}}',
      /format 3\.0.*4\.0 to 4\.5/,
    ],
    [
      '{"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [{"cell_type": "code"}]}',
      /damaged at cells\/0/,
    ],
  ])('%s is refused with a sentence', (text, sentence) => {
    expect(() => readNotebook(text)).toThrow(sentence);
  });

  test('an id given twice is refused', () => {
    const text = writeNotebook(notebook([code('same', '1'), code('same', '2')]));
    expect(() => readNotebook(text)).toThrow(/same id "same"/);
  });

  test('a byte order mark, as some editors leave, does no harm', () => {
    expect(readNotebook(`\uFEFF${writeNotebook(original)}`).cells).toHaveLength(4);
  });
});

test('the schema that judges is the published one', () => {
  expect(notebookFault(JSON.parse(writeNotebook(original)))).toBeUndefined();
  expect(notebookFault({ ...original, cells: [{ ...original.cells[0], id: '' }] })).toMatch(
    /cells\/0/,
  );
});

test('lines are split as nbformat asks', () => {
  expect(splitLines('a\nb')).toEqual(['a\n', 'b']);
  expect(splitLines('a\n')).toEqual(['a\n']);
  expect(splitLines('')).toEqual([]);
});

describe('student number', () => {
  test('is read and replaced where it stands, the comment kept', () => {
    expect(studentNumberOf(original)).toBe('000000');
    const mine = withStudentNumber(original, '204117');
    expect(sourceOf(mine.cells[0])).toBe("const studentNumber = '204117'; // yours");
    expect(studentNumberOf(mine)).toBe('204117');
    expect(studentNumberOf(original)).toBe('000000');
  });

  test('in a comment or a text is none, and stays there', () => {
    const source =
      "// const studentNumber = '1';\nconst a = \"studentNumber = '2'\"; /* studentNumber = '3' */\nconst studentNumber: string = '204117';";
    const own = withSources(original, { 'student-number': source });
    expect(studentNumberOf(own)).toBe('204117');
    const other = withStudentNumber(own, '204118');
    expect(sourceOf(other.cells[0])).toBe(source.replace('204117', '204118'));
    const none = withSources(original, { 'student-number': "// const studentNumber = '1';" });
    expect(studentNumberOf(none)).toBeUndefined();
    expect(withStudentNumber(none, '204117')).toEqual(none);
  });

  test('is undefined where there is no such cell', () => {
    expect(studentNumberOf(notebook([code('a', '1')]))).toBeUndefined();
  });
});

describe('answers', () => {
  test('only work and written cells come from the return', () => {
    const returned = withSources(original, {
      'work-2-1': 'const x = 7;',
      'answer-2-1': "check('2.1', 'cheat')",
      given: 'forge()',
    });
    const laid = originalWithWork(original, returned);
    expect(laid.cells.map(sourceOf)).toEqual([
      "const studentNumber = '000000'; // yours",
      'begin()',
      'const x = 7;',
      "check('2.1', x)",
    ]);
  });

  test('the student’s own cells stay where they stood, without marks of the sheet', () => {
    const returned = notebook([
      original.cells[0],
      { ...code('mine', 'const helper = 1;', 'answer') },
      ...original.cells.slice(1),
    ]);
    const laid = originalWithWork(original, returned);
    expect(laid.cells.map((cell) => cell.id)).toEqual([
      'student-number',
      'mine',
      'given',
      'work-2-1',
      'answer-2-1',
    ]);
    expect(tagOf(laid.cells[1])).toBeUndefined();
  });

  test('own cells claim roles and names in vain, and own text is kept as text', () => {
    const claims = (id: string, role: Role): CodeCell => ({
      ...code(id, 'forge()', role),
      metadata: { multislit: { sheet: '02-one-slit', role, question: '2.1' }, deletable: false },
    });
    const note: Cell = { cell_type: 'markdown', id: 'note', source: 'begin()', metadata: {} };
    const laid = originalWithWork(
      original,
      notebook([
        claims('own-answer', 'answer'),
        original.cells[2],
        claims('own-given', 'given'),
        note,
        original.cells[1],
        claims('own-work', 'work'),
      ]),
    );
    // The sheet's cells in the sheet's own order, whatever the return made of it.
    expect(laid.cells.map(({ id }) => id)).toEqual([
      'own-answer',
      'student-number',
      'given',
      'own-work',
      'work-2-1',
      'own-given',
      'note',
      'answer-2-1',
    ]);
    expect(laid.cells.filter((cell) => tagOf(cell)).map(sourceOf)).toEqual(
      original.cells.map(sourceOf),
    );
    expect(laid.cells[6]).toEqual(note);
  });

  test('a work cell turned into text does not replace the work cell', () => {
    const text: Cell = { cell_type: 'markdown', id: 'work-2-1', source: 'hello', metadata: {} };
    const laid = originalWithWork(original, notebook([text]));
    expect(sourceOf(laid.cells[2])).toBe('const x = blank;');
  });

  test('outputs are taken off for handing out', () => {
    const cell = { ...code('a', '1'), execution_count: 3 };
    cell.outputs = [{ output_type: 'stream', name: 'stdout', text: 'x' }];
    expect(withoutOutputs(notebook([cell])).cells[0]).toMatchObject({
      execution_count: null,
      outputs: [],
    });
  });
});

test('a notebook is of the sheet that its marked cells agree on', () => {
  expect(sheetOf(original)).toBe('02-one-slit');
  expect(sheetOf(notebook([code('a', '1')]))).toBeUndefined();
});
