import { describe, expect, test } from 'vitest';
import {
  changedMarksHead,
  readChangedMarks,
  withChangedMarks,
} from '../../kernel-lib/marking/changed-marks';
import { classData } from '../../kernel-lib/marking/class-data';
import { classPage } from '../../kernel-lib/marking/report/class-page';
import { studentPage } from '../../kernel-lib/marking/report/student-page';
import { marksTable } from '../../kernel-lib/marking/report/tables';
import { recordOf, title } from './class-of-three';

const sheet = '09-invented';
const known = {
  outOf: new Map([
    [
      sheet,
      new Map([
        ['9.1', 2],
        ['9.2', 2],
        ['9.3', 2],
      ]),
    ],
  ]),
  sheets: ['08-other', sheet],
  students: new Set(['1001', '1002', '1003']),
  handedIn: (student: string) => student !== '1003',
};
const read = (...lines: string[]) =>
  readChangedMarks(`${changedMarksHead}${lines.join('\n')}\n`, known);
const change = { student: '1001', sheet, question: '9.1', marks: 1.5, reason: 'A sound way.' };

describe('the table of changed marks', () => {
  test('is read as spreadsheets write it', () => {
    const line = `1001,${sheet},9.1,1.5,A sound way.`;
    expect(read(line)).toEqual([change]);
    const semicolons = `\ufeffStudent;Sheet;Question;Marks;Reason;Seen by\r\n1001;${sheet};9,1;1,5;A sound way.;K\r\n;;;;;\r\n`;
    expect(readChangedMarks(semicolons, known)).toEqual([change]);
    expect(readChangedMarks('', known)).toEqual([]);
    expect(read()).toEqual([]);
  });

  test('lines about sheets that are not marked now are passed over', () => {
    expect(read('1001,08-other,8.1,99,', `1001,${sheet},9.1,1.5,A sound way.`)).toEqual([change]);
  });

  test.each<[string, string, RegExp]>([
    ['an unknown student', `4711,${sheet},9.1,1,So.`, /^Line 4 has "4711" as student/],
    ['a student without a return', `1003,${sheet},9.1,1,So.`, /^Line 4 .*no return of it is here/],
    ['an unknown sheet', '1001,9,9.1,1,So.', /^Line 4 has "9" as sheet; there are 08-other, 09-/],
    ['an unknown question', `1001,${sheet},9.7,1,So.`, /^Line 4 has "9\.7".* 9\.1, 9\.2, 9\.3/],
    ['too many marks', `1001,${sheet},9.1,2.5,So.`, /^Line 4 has "2\.5" as marks .*0 to 2/],
    ['marks below none', `1001,${sheet},9.1,-1,So.`, /^Line 4 has "-1" as marks/],
    ['no marks', `1001,${sheet},9.1,,So.`, /^Line 4 has "" as marks/],
    ['no number', `1001,${sheet},9.1,full,So.`, /^Line 4 has "full" as marks/],
    ['no reason', `1001,${sheet},9.1,1,  `, /^Line 4 gives no reason/],
    ['a property of every object', `1001,${sheet},__proto__,1,So.`, /^Line 4 has "__proto__"/],
    [
      'the same mark again',
      `1002,${sheet},9.2,1,So.`,
      /^Line 4 changes 9\.2 of 1002 again.*line 2/,
    ],
    ['an open quote', `1001,${sheet},9.1,1,"So.`, /^It is no CSV: /],
  ])('%s is a sentence that names the line', (_, line, said) => {
    // The reason before it goes over two lines.
    expect(() => read(`1002,${sheet},9.2,0,"One\ntwo."`, line)).toThrow(said);
    expect(() => read(`1002,${sheet},9.2,0,"One\ntwo."`, line)).toThrow(RangeError);
  });

  test('a head without the columns is told', () => {
    expect(() => readChangedMarks('student,marks\n1001,2\n', known)).toThrow(
      /lacks the columns sheet, question, reason/,
    );
  });
});

describe('changed marks', () => {
  const changes = [
    change,
    { ...change, question: '9.2', marks: 0, reason: '<img src=x> copied' },
    { ...change, question: '9.3', marks: 2, reason: 'Said at the bench.' },
  ];
  const records = withChangedMarks([recordOf('1001', [0, 2]), recordOf('1002', [0, 2])], changes);
  const data = classData(records, [title], {});

  test('take the place of the marker’s, which stay beside them with the reason', () => {
    expect(
      records[0].questions.map(({ marks, state, changed }) => [marks, state, changed]),
    ).toEqual([
      [1.5, 'not yet', { from: 0, reason: 'A sound way.' }],
      [0, 'not yet', { from: 2, reason: '<img src=x> copied' }],
      [2, 'agrees', { from: null, reason: 'Said at the bench.' }],
    ]);
    expect(records[1]).toEqual(recordOf('1002', [0, 2]));
  });

  test('count in the mark book, which tells of them; an answer that was given marks waits no longer', () => {
    const [, first] = marksTable(data);
    expect(first.slice(0, 5)).toEqual(['1001', 3.5, 3.5, 6, 0]);
    expect(first[5]).toBe(
      `${sheet} 9.1: Changed by a person from 0 to 1.5: A sound way.; ${sheet} 9.2: Changed by a person from 2 to 0: <img src=x> copied; ${sheet} 9.3: Given by a person: Said at the bench.`,
    );
  });

  test('are told to the student and in the class’s page, as text', () => {
    const page = studentPage(data.students[0], data, 'UTC');
    expect(page).toMatch(/from 0 to 1\.5: A sound way\..*Before that: 0\.01 was read/);
    expect(page).toMatch(/1\.5 of 2/);
    const all = classPage({
      data,
      lockDown: '',
      zone: 'UTC',
      spreads: new Map(),
      alike: [],
      aside: [],
    });
    expect(all).toMatch(/Marks changed by a person.*A sound way\./s);
    for (const html of [page, all]) {
      expect(html).toContain('&lt;img src=x&gt; copied');
      expect(html).not.toContain('<img');
    }
  });
});
