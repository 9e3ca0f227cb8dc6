import type { PassedOver } from '../../marking/choose';
import type { MarkRecord } from '../../marking/record';

export const byPath = (a: { path: string }, b: { path: string }) => (a.path < b.path ? -1 : 1);

/** Every file and what became of it. */
export function returnsTable(
  records: readonly MarkRecord[],
  notMarked: readonly { path: string; reason: string; why: string }[],
  passedOver: readonly PassedOver[],
): string[][] {
  const rows = [
    ...records.map(({ path, student, sheet, note = '', failure }) => ({
      path,
      row: [
        path,
        failure === undefined ? 'marked' : 'did not run',
        student,
        sheet,
        failure ?? note,
      ],
    })),
    ...notMarked.map(({ path, reason, why }) => ({ path, row: [path, reason, '', '', why] })),
    ...passedOver.map(({ path, reason, student, sheet, why }) => ({
      path,
      row: [path, reason, student, sheet, why],
    })),
  ].sort(byPath);
  return [['path', 'outcome', 'student', 'sheet', 'remark'], ...rows.map(({ row }) => row)];
}

/** Marks that moved since the return or the key last changed; not those that a person set. */
export function changesTable(records: readonly MarkRecord[]): (string | number)[][] {
  const rows = records.flatMap(({ student, sheet, questions, before }) =>
    questions.flatMap(({ question, marks, changed }): (string | number)[][] =>
      !changed && before && Object.hasOwn(before, question) && before[question] !== marks
        ? [[student, sheet, question, before[question], marks]]
        : [],
    ),
  );
  return [
    ['student', 'sheet', 'question', 'before', 'now'],
    ...rows.sort((a, b) => (a.join(' ') < b.join(' ') ? -1 : 1)),
  ];
}
