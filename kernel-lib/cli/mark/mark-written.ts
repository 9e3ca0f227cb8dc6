import { plainText } from '../../marking/plain-text';
import type { MarkRecord } from '../../marking/record';
import { earnedBy, mergeWritten, writeWrittenTable } from '../../marking/written-table';
import { writeWhole } from '../files';
import type { SheetToMark } from './sheets-to-mark';
import { type WrittenByHand, writtenFile } from './written-by-hand';

/** Longest remark, UTF-16 units: half a page. */
const longestRemark = 2000;

interface Read {
  /** None yet: only a remark was entered. */
  readonly marks: number | undefined;
  readonly remark: string;
}

/**
 * Lay the written answers of each sheet out for a person, beside what was entered before, and give points and
 * remarks to the records.
 *
 * @param folder of the marks
 * @returns the records with the points in them
 */
export async function markWritten(
  folder: string,
  sheets: ReadonlyMap<string, SheetToMark>,
  records: readonly MarkRecord[],
  { rows: before, text, answerOf }: WrittenByHand,
): Promise<MarkRecord[]> {
  const read = new Map<string, Read>();
  for (const { name, key } of sheets.values()) {
    const answers = records
      .filter(({ sheet }) => sheet === name)
      .flatMap((record) =>
        Object.entries(record.written).map(([question, answer]) =>
          answerOf(record, question, answer),
        ),
      );
    const different = [...new Map(answers.map((answer) => [answer.code, answer])).values()];
    if (different.length === 0 && text(name) === '') continue;
    const rows = mergeWritten(different, before.get(name) ?? []);
    const now = writeWrittenTable(rows, key);
    if (now !== text(name)) await writeWhole(writtenFile(folder, name), now);
    for (const row of rows) {
      const marks = earnedBy(row, key.schemes[row.question] ?? []);
      const remark = plainText(row.remark, longestRemark);
      if (marks !== undefined || remark !== '') read.set(`${name} ${row.code}`, { marks, remark });
    }
  }
  return records.map((record) => ({
    ...record,
    questions: record.questions.map((mark) => {
      if (mark.state !== 'to be read') return mark;
      const { code } = answerOf(record, mark.question, record.written[mark.question]);
      const found = read.get(`${record.sheet} ${code}`);
      if (!found) return mark;
      const { marks } = found;
      const remark = found.remark === '' ? {} : { remark: found.remark };
      if (marks === undefined) return { ...mark, ...remark };
      const state = marks === mark.outOf ? 'agrees' : 'not yet';
      const message = 'Read and marked by a person.';
      const isRead = true;
      return {
        ...mark,
        state,
        marks,
        message,
        isRead,
        ...remark,
      } as const;
    }),
  }));
}
