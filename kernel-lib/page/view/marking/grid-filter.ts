import type { ClassGrid, GridCell } from '../../../marking/class-grid';

/** What of an answer can be asked for; the words stand in the page. */
export const verdicts = {
  agrees: 'agrees',
  'not yet': 'not yet',
  'to be read': 'waits for a reader',
  follows: 'carried forward',
  fault: 'its cell failed',
  changed: 'changed by a person',
  missing: 'not handed in',
} as const;

export type VerdictAsked = keyof typeof verdicts;

/** What the table is narrowed down to; '' asks for nothing. */
export interface GridFilter {
  /** Parts of a student number or of a name; all of them must be there. */
  readonly text: string;
  readonly sheet: string;
  /** `SHEET QUESTION`. */
  readonly question: string;
  readonly verdict: VerdictAsked | '';
  /** `SHEET QUESTION SLIP`. */
  readonly slip: string;
  /** Students who were chosen in a plot, and what they have in common. */
  readonly among?: { readonly said: string; readonly students: readonly string[] };
}

export const noFilter: GridFilter = {
  ...{ text: '', sheet: '', question: '', verdict: '', slip: '' },
  among: undefined,
};

/** Rows and columns that are left, by their places in the grid, and whether a cell is one that was asked for. */
export interface FilteredGrid {
  readonly rows: readonly number[];
  readonly columns: readonly number[];
  readonly isAsked: (cell: GridCell | null, column: number) => boolean;
}

function has(cell: GridCell | null, verdict: VerdictAsked | ''): boolean {
  if (verdict === '') return true;
  if (cell === null) return verdict === 'missing';
  if (verdict === 'changed') return cell.from !== undefined;
  if (verdict === 'follows' || verdict === 'fault') return cell[verdict] !== undefined;
  return cell.state === verdict;
}

/**
 * Narrow a class down. Students stay who have an answer that was asked for, in one of the columns that stay.
 *
 * @param nameOf a student, to be searched beside the number
 */
export function filterGrid(
  { columns, students }: ClassGrid,
  { text, sheet, question, verdict, slip, among }: GridFilter,
  nameOf: (student: string) => string = () => '',
): FilteredGrid {
  const ids = columns.map((one) => `${one.sheet} ${one.question}`);
  const kept = columns.flatMap((one, at) => {
    if (sheet !== '' && one.sheet !== sheet) return [];
    if (question !== '' && ids[at] !== question) return [];
    return slip !== '' && !slip.startsWith(`${ids[at]} `) ? [] : [at];
  });
  const isAsked = (cell: GridCell | null, column: number) =>
    has(cell, verdict) &&
    (slip === '' || (cell?.slip !== undefined && slip === `${ids[column]} ${cell.slip}`));
  const words = text.toLowerCase().split(/\s+/).filter(Boolean);
  const asked = among && new Set(among.students);
  const anyCell = verdict === '' && slip === '';
  const rows = students.flatMap(({ student, cells }, at) => {
    if (asked && !asked.has(student)) return [];
    if (words.length > 0) {
      const told = `${student} ${nameOf(student)}`.toLowerCase();
      if (!words.every((word) => told.includes(word))) return [];
    }
    return anyCell || kept.some((column) => isAsked(cells[column], column)) ? [at] : [];
  });
  return { rows, columns: kept, isAsked };
}

/** The slips that were made in some columns, commonest first. */
export function slipsIn(
  { columns, students }: ClassGrid,
  kept: readonly number[],
): {
  readonly id: string;
  readonly question: string;
  readonly slip: string;
  readonly count: number;
}[] {
  const found = new Map<string, { question: string; slip: string; count: number }>();
  for (const { cells } of students)
    for (const at of kept) {
      const slip = cells[at]?.slip;
      if (slip === undefined) continue;
      const { sheet, question } = columns[at];
      const id = `${sheet} ${question} ${slip}`;
      const known = found.get(id);
      if (known) known.count += 1;
      else found.set(id, { question, slip, count: 1 });
    }
  return [...found]
    .map(([id, one]) => ({ id, ...one }))
    .sort((a, b) => b.count - a.count || (a.id < b.id ? -1 : 1));
}
