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
