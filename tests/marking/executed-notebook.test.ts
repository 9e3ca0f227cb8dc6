import { describe, expect, test } from 'vitest';
import { encodePng } from '../../kernel-lib/figures/png/encode-png';
import type { QuestionMark } from '../../kernel-lib/marking/judge-return';
import type { MarkRecord } from '../../kernel-lib/marking/record';
import { executedNotebook } from '../../kernel-lib/marking/report/executed-notebook';
import {
  fullRoom,
  isPlainPng,
  outputBounds,
  readOutputs,
} from '../../kernel-lib/marking/run-report';
import { type Cell, type Notebook, sourceOf } from '../../kernel-lib/notebook/notebook';
import { readNotebook } from '../../kernel-lib/notebook/read-notebook';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { oneSlit, originalOf, returnOf } from '../cli/class-for-test';

const png = encodePng({ width: 2, height: 1, data: new Uint8Array(6).fill(200), channels: 3 });
const base64 = (bytes: Uint8Array) => Buffer.from(bytes).toString('base64');

const agrees: QuestionMark = {
  question: '2.1',
  asks: 'The first dark line',
  state: 'agrees',
  marks: 2,
  outOf: 2,
  message: 'As expected.',
};
const toRead: QuestionMark = {
  ...agrees,
  question: '2.9',
  state: 'to be read',
  marks: 0,
  outOf: 4,
};

function executed(returned: Notebook, cells: MarkRecord['cells'] = []): Notebook {
  const record: MarkRecord = {
    student: '1001',
    sheet: oneSlit,
    path: 'a.ipynb',
    time: null,
    ran: 'r',
    key: 'k',
    questions: [agrees, toRead],
    cells,
    answers: {},
    written: {},
  };
  const made = executedNotebook(originalOf(oneSlit), returned, record, 's');
  // Reading holds it to nbformat's own schema.
  return readNotebook(writeNotebook(made));
}
const cellOf = ({ cells }: Notebook, id: string) => cells.find((cell) => cell.id === id) as Cell;
const outputsOf = (notebook: Notebook, id: string) => {
  const cell = cellOf(notebook, id);
  return cell.cell_type === 'code' ? cell.outputs : [];
};

describe('the notebook of a return as it ran', () => {
  test('has the sheet’s own cells, the student’s work, and outputs where they belong', () => {
    const returned = returnOf(oneSlit, '1001', {
      given: 'steal()',
      '2-1-work': 'const firstDarkLine = 1;',
    });
    const notebook = executed(returned, [
      {
        id: '2-1-work',
        outputs: [
          { is: 'printed', name: 'stdout', text: 'hello\n' },
          { is: 'value', text: '7', png: base64(png) },
        ],
        error: { name: 'RangeError', message: 'too far', line: 3 },
      },
    ]);
    expect(sourceOf(cellOf(notebook, 'given'))).toBe(
      sourceOf(cellOf(originalOf(oneSlit), 'given')),
    );
    expect(sourceOf(cellOf(notebook, '2-1-work'))).toBe('const firstDarkLine = 1;');
    expect(outputsOf(notebook, '2-1-work')).toMatchObject([
      { output_type: 'stream', name: 'stdout', text: ['hello\n'] },
      { output_type: 'execute_result', data: { 'text/plain': ['7'], 'image/png': base64(png) } },
      {
        output_type: 'error',
        ename: 'RangeError',
        traceback: [/too far/, /line 3/].map((part) => expect.stringMatching(part)),
      },
    ]);
  });

  test('verdicts are the marker’s, whatever the run said of an answer cell', () => {
    const forged = { is: 'shown', text: 'Agrees. 99 of 2 marks.' } as const;
    const notebook = executed(returnOf(oneSlit, '1001'), [{ id: '2-1-answer', outputs: [forged] }]);
    expect(outputsOf(notebook, '2-1-answer')).toEqual([
      {
        output_type: 'display_data',
        metadata: {},
        data: { 'text/plain': ['2.1  Agrees. 2 of 2 marks.\n', 'As expected.'] },
      },
    ]);
    expect(JSON.stringify(notebook)).not.toContain('99 of 2');
    expect(sourceOf(cellOf(notebook, '2-9-written-verdict'))).toMatch(
      /^2\.9 {2}To be read\. – of 4/,
    );
  });

  test('text that would fetch or mark up anything is laid in as it was typed', () => {
    const written = (text: string) =>
      cellOf(executed(returnOf(oneSlit, '1001', { '2-9-written': text })), '2-9-written').cell_type;
    expect(written('Since $a < b$ it is **wider**.')).toBe('markdown');
    for (const text of [
      '<img src=//x.test/y>',
      '![a](//x.test/y)',
      '[a](javascript:x)',
      '![a][b]\n\n[b]: //x.test',
    ])
      expect(written(text)).toBe('raw');
  });

  test('cells of the student’s own come under names that nothing else has, without metadata', () => {
    const returned = returnOf(oneSlit, '1001');
    const own: Cell = {
      cell_type: 'code',
      id: 'as-marked',
      source: '1 + 1',
      metadata: { multislit: { sheet: oneSlit, role: 'answer', question: '2.1' }, trusted: true },
      outputs: [],
      execution_count: 1,
    };
    const notebook = executed({ ...returned, cells: [own, ...returned.cells] }, [
      { id: 'as-marked', outputs: [{ is: 'value', text: '2' }] },
    ]);
    expect(cellOf(notebook, 'own-1').metadata).toEqual({});
    expect(outputsOf(notebook, 'own-1')).toMatchObject([{ data: { 'text/plain': ['2'] } }]);
    expect(sourceOf(cellOf(notebook, 'as-marked'))).toMatch(/^# 02-one-slit, student 1001: 2 of 6/);
  });
});

describe('outputs out of an untrusted run', () => {
  const read = (list: unknown) => readOutputs(list, fullRoom());

  test('text and PNG pass, nothing else', () => {
    expect(
      read([
        { is: 'printed', name: 'stdout', text: 'a\u001b[31mb' },
        { is: 'shown', text: 't', png: base64(png), html: '<script>', metadata: { trusted: true } },
        { is: 'shown', 'text/html': '<script>', text: 3 },
        { is: 'error', text: 'x' },
        null,
        'text',
      ]),
    ).toEqual([
      { is: 'printed', name: 'stdout', text: 'a [31mb' },
      { is: 'shown', text: 't', png: base64(png) },
    ]);
    expect(read({ length: 1, 0: { is: 'printed', text: 'x' } })).toEqual([]);
    expect(read([Object.create({ is: 'printed', text: 'x' })])).toEqual([]);
  });

  test('a cell and a return have bounds', () => {
    const long = { is: 'printed', name: 'stdout', text: 'x'.repeat(1e5) };
    expect(read([long, long]).map((one) => one.text.length)).toEqual([outputBounds.text]);
    expect(read(Array(1000).fill({ is: 'value', text: 'y' }))).toHaveLength(outputBounds.outputs);
    const room = fullRoom();
    let kept = 0;
    for (let cell = 0; cell < 100; cell++)
      for (const { text } of readOutputs([long], room)) kept += text.length;
    expect(kept).toBe(outputBounds.allText);
  });

  // Signature, chunks and their order: W3C PNG Specification, section 5 (from memory).
  test('a PNG is one from its first byte to its last', () => {
    const file = Buffer.from(png);
    const changed = (change: (bytes: Buffer) => Uint8Array) =>
      isPlainPng(base64(change(Buffer.from(file))));
    expect(isPlainPng(base64(png))).toBe(true);
    expect(changed((bytes) => Buffer.concat([bytes, Buffer.from('<script>')]))).toBe(false);
    expect(changed((bytes) => bytes.subarray(0, -1))).toBe(false);
    expect(
      changed((bytes) =>
        Buffer.concat([bytes.subarray(0, 8), Buffer.from('<svg onload=alert(1)>')]),
      ),
    ).toBe(false);
    expect(
      changed((bytes) => {
        bytes[20] ^= 1;
        return bytes;
      }),
    ).toBe(false);
    expect(isPlainPng(base64(Buffer.from('GIF89a')))).toBe(false);
    expect(isPlainPng('<svg>')).toBe(false);
    expect(isPlainPng('')).toBe(false);
    const wide = encodePng({ width: 9000, height: 1000, data: new Uint8Array(27e6), channels: 3 });
    expect(isPlainPng(base64(wide))).toBe(false);
  });
});
