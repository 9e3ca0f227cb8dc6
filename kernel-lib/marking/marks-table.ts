import { counted } from '../figures/shown';
import { changeSaid } from './changed-marks';
import type { ClassData } from './class-data';

/** The mark book: a row for each student, a column for each sheet; empty where nothing came back. */
export function marksTable({ sheets, students }: ClassData): (string | number)[][] {
  const head = [
    'student',
    ...sheets.map(({ sheet }) => sheet),
    'total',
    'out of',
    'to be read',
    'remarks',
  ];
  const full = sheets.reduce((sum, { outOf }) => sum + outOf, 0);
  const rows = students.map(({ student, total, sheets: own, missing, refused = [] }) => {
    const at = (name: string) => own.find(({ sheet }) => sheet === name);
    const late = own.filter(({ daysLate: days }) => days > 0);
    const remarks = [
      ...(missing.length > 0 ? [`missing: ${missing.join(' ')}`] : []),
      ...refused.map(({ path }) => `could not be marked: ${path}`),
      ...late.map(
        ({ sheet, daysLate: days, held }) =>
          `${sheet}: ${counted(days, 'day')} late${held === undefined ? '' : ', nothing deducted: time in doubt'}`,
      ),
      ...own.flatMap(({ sheet, questions }) =>
        questions.flatMap(({ question, marks, changed }) =>
          changed ? [`${sheet} ${question}: ${changeSaid(marks, changed)}`] : [],
        ),
      ),
      ...own.flatMap(({ sheet, failure }) => (failure ? [`${sheet}: ${failure}`] : [])),
    ];
    const waits = own.reduce((sum, { toRead: marks }) => sum + marks, 0);
    return [
      student,
      ...sheets.map(({ sheet }) => at(sheet)?.counted ?? ''),
      total,
      full,
      waits,
      remarks.join('; '),
    ];
  });
  return [head, ...rows];
}
