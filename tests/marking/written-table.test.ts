import { describe, expect, test } from 'vitest';
import {
  mergeWritten,
  readWrittenTable,
  writeWrittenTable,
} from '../../kernel-lib/marking/written-table';
import type { AnyKey } from '../../kernel-lib/questions/sheet';

const key = {
  sheet: { questions: [{ id: '9.3', marks: 4 }] },
  schemes: { '9.3': [{ marks: 4, point: 'says why' }] },
} as unknown as AnyKey;
const outOf = new Map([['9.3', 4]]);
const answer = (code: string, text: string) => ({ code, question: '9.3', answer: text });
const entered = (csv: string, code: string, points: string) =>
  csv.replace(`${code},9.3,4,,`, `${code},9.3,4,${points},`);

describe('the table of written answers', () => {
  const first = writeWrittenTable(
    mergeWritten([answer('bb', 'Because, "so".\nAnd more.'), answer('aa', '=1+1')], []),
    key,
  );

  test('is by code, with the mark scheme beside each answer', () => {
    expect(first).toBe(
      `code,question,out of,points,answer,mark scheme,remark\naa,9.3,4,,'=1+1,4: says why,\nbb,9.3,4,,"Because, ""so"".\nAnd more.",4: says why,\n`,
    );
  });

  test('points entered come through any number of runs', () => {
    let text = entered(first, 'bb', '2.5');
    const with2 = text;
    for (let n = 0; n < 3; n++) {
      const again = [answer('aa', '=1+1'), answer('bb', 'Because, "so".\nAnd more.')];
      text = writeWrittenTable(mergeWritten(again, readWrittenTable(text, outOf)), key);
      expect(text).toBe(with2);
    }
  });

  test('an answer that changed keeps its points and says so, once', () => {
    let rows = readWrittenTable(entered(first, 'bb', '3'), outOf);
    for (let n = 0; n < 2; n++)
      rows = mergeWritten([answer('bb', `Something new ${n}`)], rows).filter(
        ({ code }) => code === 'bb',
      );
    expect(rows).toEqual([
      {
        code: 'bb',
        question: '9.3',
        answer: 'Something new 1',
        points: '3',
        remark: expect.any(String),
      },
    ]);
    expect(rows[0].remark.match(/has changed/g)).toHaveLength(1);
  });

  test('points of a return that is no longer there stay in the file', () => {
    const rows = mergeWritten(
      [answer('cc', 'new')],
      readWrittenTable(entered(first, 'aa', '1'), outOf),
    );
    expect(rows.map(({ code, points }) => [code, points])).toEqual([
      ['aa', '1'],
      ['cc', ''],
    ]);
  });

  test('a table saved with semicolons and decimal commas is read', () => {
    const text = 'code;question;out of;points;answer;mark scheme;remark\naa;9.3;4;2,5;x;;\n';
    expect(readWrittenTable(text, outOf)[0].points).toBe('2.5');
  });

  test.each(['5', '-1', 'good', '1e9'])('%s points are refused with the row', (points) => {
    expect(() => readWrittenTable(entered(first, 'bb', points), outOf)).toThrow(
      /Row 3 \(code bb, question 9\.3\).*0 to 4/,
    );
  });
});
