import { counted } from '../figures/shown';
import type { ClassGrid, GridStudent } from './class-grid';
import type { Person } from './roster';

/** A column that an export can have. `id` names it in profiles. */
export interface ExportColumn {
  readonly id: string;
  /** What the first line calls it unless another word was chosen. */
  readonly head: string;
}

/** How a class is exported: which columns, and what they are called. Kept in the folder of marks by its name. */
export interface ExportProfile {
  readonly name: string;
  readonly columns: readonly { readonly id: string; readonly head: string }[];
  readonly delimiter: ',' | ';';
  /** Marks as they are, or in percent of what could be earned. */
  readonly as: 'marks' | 'percent';
  /** Not a table of its own, but columns of one that another system has: by their headings. */
  readonly into?: FilledColumns;
}

/** Which columns of another system's table are filled, by what they are called there. */
export interface FilledColumns {
  /** The column with the student numbers. */
  readonly student: string;
  readonly columns: readonly { readonly heading: string; readonly id: string }[];
  readonly decimal: '.' | ',';
  readonly toPoints: boolean;
}

/** All columns that there are for a class. */
export function exportColumns({ sheets, columns }: ClassGrid): ExportColumn[] {
  const there = sheets.filter(({ from, to }) => to > from);
  return [
    ...['student', 'name', 'e-mail', 'group'].map((id) => ({ id, head: id })),
    ...there.map(({ sheet }) => ({ id: `sheet ${sheet}`, head: sheet })),
    ...['total', 'out of', 'to be read', 'missing', 'remark', 'file'].map((id) => ({
      ...{ id, head: id },
    })),
    ...columns.map(({ sheet, question }) => ({
      id: `question ${sheet} ${question}`,
      head: question,
    })),
  ];
}

/** What a program for letters wants: an address, a name, marks, a remark, and the name of the page in the zip. */
export function lettersProfile(): ExportProfile {
  const columns = [
    ...[
      ['e-mail', 'address'],
      ['name', 'name'],
      ['total', 'marks'],
      ['out of', 'out of'],
    ],
    ...[
      ['remark', 'remark'],
      ['file', 'file'],
    ],
  ].map(([id, head]) => ({ id, head }));
  return { name: 'Letters', columns, delimiter: ',', as: 'marks' };
}

/** The file name of a student's page among all of a class: the number and, where the roster has one, the name. */
export function pageName(student: string, name = ''): string {
  const plain = name.replace(/[^\p{L}\p{N} .,'’-]/gu, '').trim();
  return `${student}${plain && ` ${plain}`}.html`;
}

/** The columns of a plain mark book: number, name, each sheet, total. */
export function usualProfile(grid: ClassGrid): ExportProfile {
  const columns = exportColumns(grid).filter(({ id }) =>
    /^(?:student|name|total|sheet .*)$/.test(id),
  );
  return { name: '', columns, delimiter: ',', as: 'marks' };
}

const tenth = (value: number) => Math.round(10 * value) / 10;

/**
 * The table of an export, its first line included. What waits for a reader, and what never came back, is empty: it is not 0.
 *
 * @param people by student number; may be empty
 */
export function exportTable(
  grid: ClassGrid,
  people: ReadonlyMap<string, Person>,
  { columns, as }: Pick<ExportProfile, 'columns' | 'as'>,
): (string | number)[][] {
  const there = grid.sheets.filter(({ from, to }) => to > from);
  const full = there.reduce((sum, { outOf }) => sum + outOf, 0);
  const shown = (marks: number, outOf: number) =>
    as === 'marks' ? marks : outOf === 0 ? '' : tenth((100 * marks) / outOf);

  function cellOf(id: string, one: GridStudent): string | number {
    const person = people.get(one.student);
    const [kind, sheet, question] = id.split(' ');
    const at = grid.sheets.findIndex((each) => each.sheet === sheet);
    switch (id) {
      case 'student':
        return one.student;
      case 'name':
        return person?.name ?? '';
      case 'e-mail':
        return person?.email ?? '';
      case 'group':
        return person?.group ?? '';
      case 'total':
        return shown(one.total, full);
      case 'out of':
        return full;
      case 'to be read':
        return one.waits;
      case 'remark':
        return remarkOn(grid, one);
      case 'file':
        return pageName(one.student, person?.name);
      case 'missing':
        return there
          .filter((each) => !one.returns[grid.sheets.indexOf(each)])
          .map((each) => each.sheet)
          .join(' ');
    }
    if (kind === 'sheet') {
      const back = one.returns[at];
      return back ? shown(back.counted, grid.sheets[at].outOf) : '';
    }
    const column = grid.columns.findIndex(
      (each) => each.sheet === sheet && each.question === question,
    );
    const cell = one.cells[column];
    if (!cell || cell.state === 'to be read') return '';
    return shown(cell.marks, grid.columns[column].outOf);
  }

  return [
    columns.map(({ head }) => head),
    ...grid.students.map((one) => columns.map(({ id }) => cellOf(id, one))),
  ];
}

/** What a student should know beside the marks, in a sentence or two; '' for nothing. */
function remarkOn(grid: ClassGrid, { returns, waits }: GridStudent): string {
  const there = grid.sheets.flatMap((sheet, i) =>
    sheet.to > sheet.from ? [{ title: sheet.title, back: returns[i] }] : [],
  );
  const missing = there.filter(({ back }) => !back).map(({ title }) => title);
  const late = there.flatMap(({ title, back }) =>
    back && back.daysLate > 0 ? [`${title}: ${counted(back.daysLate, 'day')} late.`] : [],
  );
  const again = there.flatMap(({ title, back }) =>
    back?.again ? [`${title}: handed in again, at most ${back.again.most} marks count.`] : [],
  );
  return [
    ...late,
    ...again,
    ...(missing.length > 0 ? [`Not handed in: ${missing.join(', ')}.`] : []),
    ...(waits > 0 ? [`${counted(waits, 'more mark')} wait to be read by a person.`] : []),
  ].join(' ');
}
