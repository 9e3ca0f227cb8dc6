import { parse } from 'csv-parse/sync';
import { sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import type { ClassData } from '../../kernel-lib/marking/class-data';
import type { ClassGrid, GridCell } from '../../kernel-lib/marking/class-grid';
import { compareClasses } from '../../kernel-lib/marking/compare-classes';
import { exportTable, lettersProfile } from '../../kernel-lib/marking/export-table';
import {
  fillTable,
  guessFilling,
  pointsIn,
  readForeignTable,
} from '../../kernel-lib/marking/fill-table';

const cell = (marks: number): GridCell => ({ state: 'not yet', marks });
const back = (counted: number) => ({ time: null, daysLate: 0, counted, path: 'x' });
const grid: ClassGrid = {
  sheets: [
    { sheet: '02-one-slit', title: 'One slit', outOf: 20, from: 0, to: 1 },
    { sheet: '03-two-slits', title: 'Two slits', outOf: 10, from: 1, to: 2 },
  ],
  columns: [
    { sheet: '02-one-slit', question: '2.1', asks: '', outOf: 20 },
    { sheet: '03-two-slits', question: '3.1', asks: '', outOf: 10 },
  ],
  students: [
    {
      student: '204117',
      total: 23.5,
      waits: 0,
      returns: [back(17), back(6.5)],
      cells: [cell(17), cell(6.5)],
    },
    { student: '300007', total: 9, waits: 3, returns: [null, back(9)], cells: [null, cell(9)] },
    { student: '0042', total: 0, waits: 0, returns: [null, null], cells: [null, null] },
  ],
};

/** Three shapes of tables, made up: each line ends, quotes and pads as it likes. */
const shapes = {
  'a line before the heading, and names as "Last, First"':
    'Optics in the long room;"not; part"\r\nID,"Last, First",Bench,One slit,Two slits\r\n204117,"Tarrow, Mira",North,,\r\n300007,"Okellin, ""Tom""",South,5,\r\n999999,"Elsewhere, Eve",,,\r\n',
  'semicolons, a decimal comma and a byte-order mark':
    '\ufeff"Nummer";"Nachname";"03-two-slits";"Gewicht"\n"204117";"Tärrow";"";"0,50"\n"300007";"Okellin";"1,0";"0,25"\n',
  'points in brackets, short rows and no line end at the end':
    'Student\tLogin No.\tOne slit [10]\tTwo slits (max 5 pts)\tNotes\n    Points\t\t10\t5\n"Tarrow, Mira"\tS204117\t\t\tkept "as it is"\nO.\tS300007',
};
type Shape = keyof typeof shapes;

const filled = (name: Shape, more = {}) => {
  const bytes = Buffer.from(shapes[name]);
  const table = readForeignTable(bytes);
  const filling = { ...guessFilling(table, grid), ...more };
  return { filling, ...fillTable(table, grid, new Map(), filling) };
};

describe('a table of another system', () => {
  test.each(Object.keys(shapes) as Shape[])('%s: nothing to fill, and every byte stays', (name) => {
    expect(Buffer.from(filled(name, { columns: [] }).bytes).toString()).toBe(shapes[name]);
  });

  test('with a line before its heading', () => {
    const name = 'a line before the heading, and names as "Last, First"';
    const { filling, bytes, notThere, unknown, written } = filled(name);
    expect(filling).toMatchObject({ head: 1, student: 0, decimal: '.' });
    // What never came back is not 0: the 5 of another hand stays.
    expect(Buffer.from(bytes).toString()).toBe(
      shapes[name].replace('North,,', 'North,17,6.5').replace('South,5,', 'South,5,9'),
    );
    expect([written, notThere, unknown]).toEqual([3, ['0042'], ['999999']]);
  });

  test('with semicolons, decimal comma and quotes', () => {
    const name = 'semicolons, a decimal comma and a byte-order mark';
    const { bytes } = filled(name);
    expect(Buffer.from(bytes).toString()).toBe(
      shapes[name].replace('"Tärrow";""', '"Tärrow";"6,5"').replace('"1,0"', '"9"'),
    );
  });

  test('with points in brackets: marks in proportion, and rows made as long as they must be', () => {
    const name = 'points in brackets, short rows and no line end at the end';
    const { filling, bytes } = filled(name);
    expect(filling).toMatchObject({ head: 0, student: 1 });
    expect(Buffer.from(bytes).toString()).toBe(
      `${shapes[name].replace('S204117\t\t\t', 'S204117\t8.5\t3.25\t')}\t\t4.5`,
    );
    const plain = filled(name, { toPoints: false });
    expect(Buffer.from(plain.bytes).toString()).toContain('S204117\t17\t6.5\tkept "as it is"');
  });

  test.each(['utf16le', 'latin1'] as const)('in %s comes back in %s', (encoding) => {
    const text = 'student;Straße;One slit\r\n204117;Längsgang;\r\n';
    const mark = encoding === 'utf16le' ? '\ufeff' : '';
    const table = readForeignTable(Buffer.from(mark + text, encoding));
    expect(table.rows[0].map((one) => one.text)).toEqual(['student', 'Straße', 'One slit']);
    const { bytes } = fillTable(table, grid, new Map(), guessFilling(table, grid));
    expect(Buffer.from(bytes).toString(encoding)).toBe(mark + text.replace(';\r\n', ';17\r\n'));
  });

  test('numbers that lost their zeros, or have letters before them, are found', () => {
    const table = readForeignTable(Buffer.from('student,One slit\n42,\nu204117,\n'));
    expect(fillTable(table, grid, new Map(), guessFilling(table, grid)).notThere).toEqual([
      '300007',
      '0042',
    ]);
    const long = readForeignTable(Buffer.from('student,One slit\n000204117,\n'));
    expect(fillTable(long, grid, new Map(), guessFilling(long, grid)).written).toBe(1);
  });

  test.each([
    ['Two slits [22]', 22],
    ['Two slits (max. 7,5 points)', 7.5],
    ['Two slits', undefined],
    ['Two [1] slits', undefined],
  ])('%j has the points %j', (heading, points) => {
    expect(pointsIn(heading)).toBe(points);
  });

  test('reads as another reader of CSV does', () => {
    for (const [text, delimiter] of [
      [shapes['semicolons, a decimal comma and a byte-order mark'], ';'],
      ['a,"b ""c""\nd",\r\n,x\r\n"",y', ','],
    ] as const) {
      const rows = readForeignTable(Buffer.from(text)).rows.map((row) =>
        row.map((one) => one.text),
      );
      expect(rows).toEqual(parse(text, { delimiter, bom: true, relax_column_count: true }));
    }
  });
});

test('a table for letters has address, name, marks, a remark and the file', () => {
  const people = new Map([
    ['300007', { name: 'Tom Okellin', email: 'tom@alderbeck.example', group: '' }],
  ]);
  const table = exportTable(grid, people, lettersProfile());
  expect(table[0]).toEqual(['address', 'name', 'marks', 'out of', 'remark', 'file']);
  expect(table[2]).toEqual([
    ...['tom@alderbeck.example', 'Tom Okellin', 9, 30],
    'Not handed in: One slit. 3 more marks wait to be read by a person.',
    '300007 Tom Okellin.html',
  ]);
});

describe('two classes side by side', () => {
  const classOf = (shares: readonly number[], asks = 'Width', question = '2.1') =>
    ({
      sheets: [],
      students: shares.map((marks, i) => ({
        student: String(1000 + i),
        sheets: [
          {
            sheet: '02-one-slit',
            questions: [{ question, asks, state: 'not yet', marks, outOf: 4, message: '' }],
          },
        ],
      })),
    }) as unknown as Pick<ClassData, 'sheets' | 'students'>;

  test('differ by their means, as far as these can be told', () => {
    const [a, b] = [
      [4, 3, 4, 2],
      [1, 2, 0, 3, 1],
    ];
    const [found] = compareClasses(classOf(a), classOf(b)).questions;
    const u = (list: readonly number[]) =>
      sampleStandardDeviation([...list]) / 4 / Math.sqrt(list.length);
    expect(found.difference).toBeCloseTo(13 / 16 - 7 / 20, 12);
    expect(found.uncertainty).toBeCloseTo(Math.hypot(u(a), u(b)), 12);
    expect(found.askedThen).toBeUndefined();
  });

  test('of a question that asks something else by now it is said; of one that is new nothing is told', () => {
    expect(compareClasses(classOf([4]), classOf([2], 'Order')).questions[0]).toMatchObject({
      ...{ askedThen: 'Order', uncertainty: null },
    });
    expect(compareClasses(classOf([4], 'Width', '2.9'), classOf([2]))).toEqual({
      ...{ questions: [], onlyNow: ['02-one-slit 2.9'], onlyThen: ['02-one-slit 2.1'] },
    });
  });
});
