import { tableGrid } from './csv';

/** One student of the class, as far as marks depend on it. */
export interface Enrolled {
  readonly student: string;
  /** Days that this student may hand in later than the others. */
  readonly extraDays: number;
}

/** What a class list can tell, by the columns that it has for it. */
export const rosterKinds = [
  'student',
  'name',
  'first',
  'last',
  'email',
  'group',
  'extra days',
] as const;
export type RosterKind = (typeof rosterKinds)[number];

/** What a column of the list is called, where that was said by hand. */
export type RosterColumns = Partial<Readonly<Record<RosterKind, string>>>;

/** What columns are usually called, in small letters. */
const usual: Readonly<Record<RosterKind, RegExp>> = {
  student: /^student(?: (?:number|no\.?|id))?$/,
  name: /^(?:full |student )?names?$/,
  first: /^(?:first|given) ?names?$|^forenames?$/,
  last: /^(?:last|family) ?names?$|^surnames?$/,
  email: /^e-?mail(?: address)?$/,
  group: /^(?:group|section|class|bench)$/,
  'extra days': /^extra days$/,
};

const digits = /^\d{4,10}$/;

interface Roster {
  readonly head: readonly string[];
  /** Where each kind stands; -1 for nowhere. */
  readonly at: Readonly<Record<RosterKind, number>>;
  readonly rows: readonly { readonly line: number; readonly cells: readonly string[] }[];
}

/** @throws RangeError when it is no table, or a column that was named is not there */
function parts(text: string, columns: RosterColumns): Roster {
  const grid = tableGrid(text);
  if (grid.length === 0)
    throw new RangeError('The roster is empty; a line for each student was expected.');
  const bare = digits.test(grid[0].cells[0]);
  const head = bare ? ['student'] : grid[0].cells;
  const small = head.map((cell) => cell.toLowerCase());
  const at = Object.fromEntries(
    rosterKinds.map((kind) => {
      const said = columns[kind];
      if (said === undefined) return [kind, small.findIndex((name) => usual[kind].test(name))];
      const found = small.indexOf(said.trim().toLowerCase());
      if (found < 0)
        throw new RangeError(
          `The roster has no column "${said}" for ${kind}; it has ${head.join(', ')}.`,
        );
      return [kind, found];
    }),
  ) as Record<RosterKind, number>;
  return { head, at, rows: bare ? grid : grid.slice(1) };
}

/** What a list calls its columns, and which of them were recognised or said by hand. */
export interface RosterHead {
  readonly head: readonly string[];
  readonly known: RosterColumns;
}

/**
 * The columns of a class list.
 *
 * @param columns what was said by hand; what is not in the list is passed over
 * @example rosterHead('Number,Name\n1001,Mira Tarrow').known // { name: 'Name' }
 */
export function rosterHead(text: string, columns: RosterColumns = {}): RosterHead {
  const grid = tableGrid(text);
  const names = new Set(grid[0]?.cells.map((cell) => cell.toLowerCase()));
  const there = Object.entries(columns).filter(([, name]) => names.has(name.trim().toLowerCase()));
  if (grid.length === 0) return { head: [], known: {} };
  const { head, at } = parts(text, Object.fromEntries(there));
  const known = rosterKinds.flatMap((kind) => (at[kind] < 0 ? [] : [[kind, head[at[kind]]]]));
  return { head, known: Object.fromEntries(known) };
}

/**
 * Read a class list: CSV with a column `student` and, where wanted, a column `extra days`. Other columns are
 * passed over. Comma, semicolon or tab; a list of bare numbers, one a line, will do too.
 *
 * @param columns what columns are called, where they are not recognised by themselves
 * @throws RangeError that names every line that cannot be used, what stands there and what was expected
 */
export function readRoster(text: string, columns: RosterColumns = {}): Enrolled[] {
  const { head, at, rows } = parts(text, columns);
  if (at.student < 0)
    throw new RangeError(
      `The roster has the columns ${head.join(', ')}; one named "student" was expected, with the student numbers, or say which it is.`,
    );
  const seen = new Map<string, number>();
  const problems: string[] = [];
  const all = rows.map(({ line, cells }): Enrolled => {
    const student = cells[at.student] ?? '';
    const days = at['extra days'] < 0 ? '' : (cells[at['extra days']] ?? '');
    const extraDays = Number(days.replace(',', '.'));
    const first = seen.get(student);
    if (!digits.test(student))
      problems.push(
        `Line ${line} of the roster has "${student}" as student number; 4 to 10 digits were expected.${shortened(student)}`,
      );
    else if (first !== undefined)
      problems.push(
        `Line ${line} of the roster repeats ${student}, after line ${first}; keep one of the lines.`,
      );
    if (!(extraDays >= 0))
      problems.push(
        `Line ${line} of the roster has "${days}" as extra days; a number, 0 or more, was expected.`,
      );
    seen.set(student, first ?? line);
    return { student, extraDays };
  });
  if (problems.length > 0) {
    const more = problems.length - 10;
    const rest = more > 0 ? [`… and ${more} more lines.`] : [];
    throw new RangeError([...problems.slice(0, 10), ...rest].join('\n  '));
  }
  return all;
}

/** What spreadsheets do to long numbers, and how to get them back. */
const shortened = (cell: string) =>
  /^\d+(?:[.,]\d+)?E\+?\d+$/i.test(cell) || /^\d+[.,]0*$/.test(cell)
    ? ' A spreadsheet has rewritten the number: give its column the format “text” and save the list anew.'
    : '';

/** What a class list tells of a student beside the number; read when it is shown or put into a table. */
export interface Person {
  readonly name: string;
  readonly email: string;
  readonly group: string;
}

/**
 * Names, addresses and groups in a class list, by student number. Columns are known by what they are called (`name`, or
 * `first name` and `last name`; `e-mail`; `group`, `section` or `bench`) or by what was said; what is not there is ''.
 *
 * @example readPeople('student,name\n1001,Mira Tarrow').get('1001')?.name // 'Mira Tarrow'
 */
export function readPeople(text: string, columns: RosterColumns = {}): ReadonlyMap<string, Person> {
  const { at, rows } = parts(text, columns);
  return new Map(
    rows.map(({ cells }) => {
      const cell = (kind: RosterKind) => cells[at[kind]] ?? '';
      const name = cell('name') || `${cell('first')} ${cell('last')}`.trim();
      return [cell('student'), { name, email: cell('email'), group: cell('group') }];
    }),
  );
}
