import { parse } from 'csv-parse/browser/esm/sync';

/** One student of the class. Numbers only: names have no place here. */
export interface Enrolled {
  readonly student: string;
  /** Days that this student may hand in later than the others. */
  readonly extraDays: number;
}

const digits = /^\d{4,10}$/;

/**
 * Read a class list: CSV with a column `student` and, where wanted, a column `extra days`. Other columns are
 * passed over. Comma or semicolon; a list of bare numbers, one a line, will do too.
 *
 * @throws RangeError that names the line, what stands there and what was expected
 */
export function readRoster(text: string): Enrolled[] {
  const delimiter = /^[^\n]*;/.test(text) ? ';' : ',';
  const rows: string[][] = parse(text, {
    delimiter,
    bom: true,
    trim: true,
    skip_empty_lines: true,
    relax_column_count: true,
  });
  if (rows.length === 0) {
    throw new RangeError('The roster is empty; a line for each student was expected.');
  }
  const bare = digits.test(rows[0][0]);
  const head = bare ? ['student'] : rows[0].map((cell) => cell.toLowerCase());
  const numberAt = head.indexOf('student');
  const daysAt = head.indexOf('extra days');
  if (numberAt < 0) {
    throw new RangeError(
      `The roster has the columns ${rows[0].join(', ')}; one named "student" was expected, with the student numbers.`,
    );
  }
  const seen = new Set<string>();
  return rows.slice(bare ? 0 : 1).map((row, i) => {
    const line = i + (bare ? 1 : 2);
    const student = row[numberAt] ?? '';
    if (!digits.test(student)) {
      throw new RangeError(
        `Line ${line} of the roster has "${student}" as student number; 4 to 10 digits were expected.`,
      );
    }
    if (seen.has(student)) {
      throw new RangeError(`Line ${line} of the roster repeats ${student}; keep one of the lines.`);
    }
    seen.add(student);
    const days = daysAt < 0 || !row[daysAt] ? 0 : Number(row[daysAt]);
    if (!(days >= 0)) {
      throw new RangeError(
        `Line ${line} of the roster has "${row[daysAt]}" as extra days; a number, 0 or more, was expected.`,
      );
    }
    return { student, extraDays: days };
  });
}

/** What a class list tells of a student beside the number; read when it is shown, and kept nowhere. */
export interface Person {
  readonly name: string;
  readonly email: string;
  readonly group: string;
}

const named = {
  name: /^(?:full |student )?names?$/,
  first: /^(?:first|given) ?names?$|^forenames?$/,
  last: /^(?:last|family) ?names?$|^surnames?$/,
  email: /^e-?mail(?: address)?$/,
  group: /^(?:group|section|class|bench)$/,
} as const;

/**
 * Names, addresses and groups in a class list, by student number. Columns are known by what they are called (`name`, or
 * `first name` and `last name`; `e-mail`; `group`, `section` or `bench`); what is not there is ''.
 *
 * @example readPeople('student,name\n1001,Mira Tarrow').get('1001')?.name // 'Mira Tarrow'
 */
export function readPeople(text: string): ReadonlyMap<string, Person> {
  const delimiter = /^[^\n]*;/.test(text) ? ';' : ',';
  const options = { bom: true, trim: true, skip_empty_lines: true, relax_column_count: true };
  const [head = [], ...rows]: string[][] = parse(text, { delimiter, ...options });
  const columns = head.map((cell) => cell.toLowerCase());
  const numberAt = columns.indexOf('student');
  const at = (row: readonly string[], kind: keyof typeof named) =>
    row[columns.findIndex((column) => named[kind].test(column))] ?? '';
  return new Map(
    rows.map((row) => {
      const whole = at(row, 'name') || `${at(row, 'first')} ${at(row, 'last')}`.trim();
      return [
        row[numberAt] ?? '',
        { name: whole, email: at(row, 'email'), group: at(row, 'group') },
      ];
    }),
  );
}
