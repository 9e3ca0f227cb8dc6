import { parse } from 'csv-parse/sync';
import { describe, expect, test } from 'vitest';
import {
  earnedBy,
  mergeWritten,
  type Readable,
  readWrittenTable,
  writeWrittenTable,
} from '../../kernel-lib/marking/written-table';
import type { AnyKey } from '../../kernel-lib/questions/sheet';
import { withEntries } from '../cli/class-for-test';

const scheme = [
  { marks: 1, point: 'says what' },
  { marks: 2, point: 'says why' },
  { marks: 1, point: 'has a number' },
];
const key = {
  sheet: { questions: [{ id: '9.3', marks: 4 }] },
  schemes: { '9.3': scheme },
} as unknown as AnyKey;
const known: Readable = {
  schemes: new Map([['9.3', scheme]]),
  questionOf: (code) => (/^w/.test(code) ? '9.3' : undefined),
  isOurs: (code) => /^w[abc]$|^0badc0de$/.test(code),
};
const answer = (code: string, text: string) => ({ code, question: '9.3', answer: text });
const answers = [answer('wb', 'Because, "so".\nAnd more.'), answer('wa', '=1+1')];
const first = writeWrittenTable(mergeWritten(answers, []), key);
const entered = (csv: string, code: string, entries: Record<string, string>) =>
  withEntries(csv, (row) => row.code === code, entries);
const again = (csv: string, from = answers) =>
  writeWrittenTable(mergeWritten(from, readWrittenTable(csv, known)), key);
const rowOf = (csv: string, code: string) =>
  readWrittenTable(csv, known).find((row) => row.code === code)!;
const earned = (entries: Record<string, string>) =>
  earnedBy(rowOf(entered(first, 'wb', entries), 'wb'), scheme);

describe('the table of written answers', () => {
  test('begins with a byte-order mark and is by code; lines of the mark scheme can be ticked', () => {
    expect(first.codePointAt(0)).toBe(0xfeff);
    const rows: Record<string, string>[] = parse(first, { columns: true, bom: true });
    expect(rows.map(({ code }) => code)).toEqual(['wa', 'wb']);
    expect(rows[0].answer).toBe("'=1+1");
    expect(rows[1]['mark scheme']).toBe('1. says what (1)\n2. says why (2)\n3. has a number (1)');
    expect(Object.keys(rows[0]).filter((name) => name.startsWith('line'))).toHaveLength(3);
  });

  test('what was entered comes through any number of runs', () => {
    const either: Record<string, string>[] = [
      { points: '2.5', remark: '=Good, but why?' },
      { 'line 2': 'x' },
    ];
    for (const entries of either) {
      let text = again(entered(first, 'wb', entries));
      const once = text;
      for (let n = 0; n < 3; n++) text = again(text);
      expect(text).toBe(once);
      const rows: Record<string, string>[] = parse(text, { columns: true, bom: true });
      const row = rows.find(({ code }) => code === 'wb');
      expect(row).toMatchObject(
        'points' in entries ? { points: '2.5', remark: "'=Good, but why?" } : entries,
      );
    }
  });

  test('ticks earn what their lines say, a number that many marks of its line', () => {
    expect(earned({})).toBeUndefined();
    expect(earned({ 'line 2': 'x' })).toBe(2);
    expect(earned({ 'line 1': '✓', 'line 2': 'X', 'line 3': 'yes' })).toBe(4);
    expect(earned({ 'line 2': '1', 'line 3': '0,5' })).toBe(1.5);
    expect(earned({ 'line 1': '0' })).toBe(0);
    expect(earned({ points: '0' })).toBe(0);
    expect(earned({ points: '3', 'line 1': 'x', 'line 2': 'x' })).toBe(3);
  });

  test('an answer that changed keeps its points and says so, in the program’s own column', () => {
    let text = entered(first, 'wb', { points: '3', remark: 'Fine.' });
    for (let n = 0; n < 2; n++) text = again(text, [answer('wb', `Something new ${n}`)]);
    expect(rowOf(text, 'wb')).toMatchObject({
      answer: 'Something new 1',
      points: '3',
      remark: 'Fine.',
    });
    expect(rowOf(text, 'wb').note).toMatch(/changed since/);
    const back = again(entered(first, 'wb', { points: '3' }));
    expect(rowOf(back, 'wb').note).toBe('');
  });

  test('what was entered for a return that is no longer there stays, and says so', () => {
    const text = again(entered(first, 'wa', { 'line 3': 'x' }), [answer('wc', 'new')]);
    const rows = readWrittenTable(text, known);
    expect(rows.map(({ code }) => code)).toEqual(['wa', 'wc']);
    expect(rows[0]).toMatchObject({
      ticks: ['', '', 'x'],
      note: expect.stringMatching(/no return/),
    });
  });

  test('a table of an earlier version is taken over, with its codes and the sentence in its remarks', () => {
    const old =
      'code,question,out of,points,answer,mark scheme,remark\n0badc0de,9.3,4,2.5,Yes.,,Why? The answer has changed since the points were entered.\n';
    const [row] = mergeWritten(
      [{ ...answer('wa', 'Yes.'), formerly: ['0badc0de'] }],
      readWrittenTable(old, known),
    );
    expect(row).toMatchObject({ code: 'wa', points: '2.5', remark: 'Why?' });
    expect(row.note).toMatch(/changed since/);
  });

  test('saved with semicolons or tabs, decimal commas, other columns and another order', () => {
    for (const mark of [';', '\t']) {
      const head = ['remark', 'mine', 'points', 'answer', 'question', 'code'].join(mark);
      const line = ['', 'x', '2,5', 'x', '9,3', 'wa'].join(mark);
      expect(readWrittenTable(`\ufeff${head}\r\n${line}\r\n\r\n`, known)[0].points).toBe('2.5');
    }
  });

  test('a question that a spreadsheet took for a day does no harm', () => {
    expect(rowOf(entered(first, 'wb', { question: '09. Mrz', points: '1' }), 'wb').question).toBe(
      '9.3',
    );
  });

  test.each([
    [
      { points: '5' },
      /Line 5 \(code wb\) has "5" as points; a number from 0 to 4 .*\(Row 3 in a spreadsheet\.\)/,
    ],
    [{ points: '-1' }, /-1" as points/],
    [{ points: 'good' }, /"good" as points/],
    [{ points: 'Infinity' }, /"Infinity" as points/],
    [{ 'line 1': '2' }, /has "2" at line 1; x or a number from 0 to 1/],
    [{ 'line 1': 'maybe' }, /has "maybe" at line 1/],
    [{ points: '1', 'line 2': 'x' }, /has 1 points, but its ticks make 2; keep one/],
    [{ code: '123450000000' }, /has "123450000000" as code, which this folder never gave out/],
    [{ code: 'wa' }, /Line 5 repeats the code wa of line 2/],
  ])('%j is refused with its line', (entries, sentence) => {
    expect(() => readWrittenTable(entered(first, 'wb', entries), known)).toThrow(sentence);
  });

  test('all that is wrong is told at once; lines are counted as an editor does', () => {
    const text = entered(entered(first, 'wa', { answer: 'two\nlines', points: '9' }), 'wb', {
      points: '7',
      'line 1': '?',
    });
    let said = '';
    try {
      readWrittenTable(text, known);
    } catch (error) {
      said = (error as Error).message;
    }
    const lines = text.split('\n');
    const lineOf = (code: string) => 1 + lines.findIndex((line) => line.startsWith(code));
    expect(said).toContain(`Line ${lineOf('wa')} (code wa) has "9"`);
    expect(said).toContain(`Line ${lineOf('wb')} (code wb) has "7"`);
    expect(said).toContain(`Line ${lineOf('wb')} (code wb) has "?" at line 1`);
    expect(said).toMatch(/table stays as it is/);
  });

  test('a table that is no table is a sentence', () => {
    expect(() => readWrittenTable('a,b\n1,2\n', known)).toThrow(/lacks the columns code, question/);
    expect(() => readWrittenTable('code,"', known)).toThrow(/no CSV/);
  });
});
