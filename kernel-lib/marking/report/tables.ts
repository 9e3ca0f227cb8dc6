import { counted } from '../../figures/shown';
import { changeSaid } from '../changed-marks';
import type { PassedOver } from '../choose';
import type { ClassData } from '../class-data';
import type { HandInTime, TimeSource } from '../hand-in-time';
import { writeMoment } from '../moment';
import type { NotMarked } from '../not-marked';
import { type MarkRecord, toLookAt } from '../record';

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

export const byPath = (a: { path: string }, b: { path: string }) => (a.path < b.path ? -1 : 1);

const sources: Record<TimeSource, string> = {
  table: 'table of times',
  name: 'file name',
  archive: 'archive',
  file: 'file',
};

const remarksOf = (record: MarkRecord) =>
  [
    ...(record.failure === undefined ? [] : [record.failure]),
    ...toLookAt(record),
    ...(record.doubt === undefined ? [] : [`Time in doubt: ${record.doubt}`]),
  ].join(' ');

/**
 * Every file and what became of it, row by row.
 *
 * @param times of returns by their path
 */
export function* returnsTable(
  records: readonly MarkRecord[],
  notMarked: readonly (Omit<NotMarked, 'reason'> & { readonly reason: string })[],
  passedOver: readonly PassedOver[],
  times: ReadonlyMap<string, HandInTime>,
  zone: string,
): Generator<(string | number)[]> {
  const came = (path: string) => {
    const { time, from } = times.get(path) ?? {};
    return time === undefined || from === undefined
      ? ['', '']
      : [writeMoment(time, zone), sources[from]];
  };
  const rows = [
    ...records.map((record) => ({ path: record.path, record })),
    ...notMarked.map((aside) => ({ path: aside.path, aside })),
    ...passedOver.map((over) => ({ path: over.path, over })),
  ].sort(byPath);
  yield ['path', 'outcome', 'student', 'sheet', 'time', 'time from', 'files', 'remark'];
  for (const { path, ...one } of rows) {
    if ('record' in one) {
      const { student, sheet, failure } = one.record;
      const outcome = failure === undefined ? 'marked' : 'did not run';
      yield [path, outcome, student, sheet, ...came(path), 1, remarksOf(one.record)];
    } else if ('aside' in one) {
      const { reason, why, student = '', count = 1 } = one.aside;
      yield [path, reason, student, '', '', '', count, why];
    } else {
      const { reason, student, sheet, why } = one.over;
      yield [path, reason, student, sheet, ...came(path), 1, why];
    }
  }
}
