import type { PassedOver } from '../../marking/choose';
import type { NotMarked } from '../../marking/gathered';
import type { HandInTime, TimeSource } from '../../marking/hand-in-time';
import { writeMoment } from '../../marking/moment';
import type { MarkRecord } from '../../marking/record';
import { toLookAt } from '../../marking/to-look-at';

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
