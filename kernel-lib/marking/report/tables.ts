import { counted } from '../../figures/shown';
import { changeSaid } from '../changed-marks';
import type { PassedOver } from '../choose';
import type { ClassData } from '../class-data';
import type { FoundReturn } from '../found-return';
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
      ...own.flatMap(({ sheet, again }) =>
        again ? [`${sheet}: in round ${again.round}, at most ${again.most} count`] : [],
      ),
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

const columnsOfReturns = [
  ...['path', 'outcome', 'student', 'sheet', 'time', 'time from', 'files', 'remark'],
];

/** When a return came and what told it, as two cells. */
const cameIn = ({ time, from }: HandInTime, zone: string) =>
  time === undefined || from === undefined ? ['', ''] : [writeMoment(time, zone), sources[from]];

/** Every file as it came in, before anything is marked: the columns of `returnsTable`. */
export function* cameInTable(
  counted: readonly FoundReturn[],
  notMarked: readonly NotMarked[],
  passedOver: readonly PassedOver[],
  times: ReadonlyMap<string, HandInTime>,
  zone: string,
): Generator<(string | number)[]> {
  const told = ({ note, flags = [], doubt }: FoundReturn) =>
    [note, ...flags, doubt && `Time in doubt: ${doubt}`].filter(Boolean).join(' ');
  yield columnsOfReturns;
  const rows = [
    ...counted.map((one) => ({ ...one, reason: waitsToBeMarked, remark: told(one) })),
    ...passedOver.map((one) => ({ ...one, ...times.get(one.path), remark: one.why })),
    ...notMarked.map(({ student = '', ...one }) => ({
      ...one,
      ...{ student, sheet: '', remark: one.why },
    })),
  ].sort(byPath);
  for (const one of rows) {
    const count = 'count' in one ? (one.count ?? 1) : 1;
    const { path, reason, student, sheet, remark } = one;
    yield [path, reason, student, sheet, ...cameIn(one as HandInTime, zone), count, remark];
  }
}

/** The table of what came in, where nothing was marked since. */
export const cameInFile = 'came-in.csv';

/** What becomes of a return that nothing was done with so far. */
export const waitsToBeMarked = 'to be marked';

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
  const came = (path: string) => cameIn(times.get(path) ?? {}, zone);
  const rows = [
    ...records.map((record) => ({ path: record.path, record })),
    ...notMarked.map((aside) => ({ path: aside.path, aside })),
    ...passedOver.map((over) => ({ path: over.path, over })),
  ].sort(byPath);
  yield columnsOfReturns;
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
