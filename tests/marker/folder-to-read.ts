import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type SheetToMark, sheetsToMark } from '../../kernel-lib/marker/sheets-to-mark';
import { markWritten, writtenByHand } from '../../kernel-lib/marker/written-by-hand';
import { classData } from '../../kernel-lib/marking/class-data';
import {
  type FoundReturn,
  writtenAnswers,
  writtenText,
} from '../../kernel-lib/marking/found-return';
import type { QuestionMark } from '../../kernel-lib/marking/judge-return';
import { type MarkRecord, writeRecord } from '../../kernel-lib/marking/record';
import { executedNotebook } from '../../kernel-lib/marking/report/executed-notebook';
import { similarReturns } from '../../kernel-lib/marking/similarity';
import { writeNotebook } from '../../kernel-lib/notebook/write-notebook';
import { toUnit } from '../../kernel-lib/quantity/known-unit';
import { givensFor } from '../../kernel-lib/questions/draw';
import { openForms } from '../../kernel-lib/questions/sheet';
import { handIn, modelReturn, oneSlit } from '../cli/class-for-test';

/** A student of the folder: what was written, which questions went wrong, what else was changed in the return. */
export interface Writer {
  readonly student: string;
  readonly name: string;
  readonly wrote: string;
  /** By question: the slip that was made. */
  readonly slips?: Readonly<Record<string, string>>;
  readonly cells?: Readonly<Record<string, string>>;
}

export const eMail = 'somebody@alderbeck.example';

/**
 * A folder of marks as the marker leaves it, of one sheet, without running anybody's code: nothing is read by a person yet.
 *
 * @param folder that is not there yet; the roster lies beside it
 */
export function folderToRead(folder: string, writers: readonly Writer[]) {
  const sheets = sheetsToMark([oneSlit]);
  const { key, original } = sheets.get(oneSlit) as SheetToMark;
  const notebooks = writers.map(({ student, wrote, cells }) =>
    modelReturn(oneSlit, student, { ...cells, '2-9-written': wrote }),
  );
  const records = writers.map(({ student, slips = {} }, i): MarkRecord => {
    const given = givensFor(key.sheet, student);
    const answers = openForms(key).flatMap((form) =>
      form.kind === 'number'
        ? [
            [
              form.id,
              {
                is: 'number',
                value: toUnit(form.expected(given) * (form.id in slips ? 2 : 1), form.unit),
              },
            ] as const,
          ]
        : [],
    );
    const questions = key.sheet.questions.map(({ id, asks, marks, kind }): QuestionMark => {
      const asked = { question: id, asks, outOf: marks };
      if (kind === 'written')
        return {
          ...asked,
          state: 'to be read',
          marks: 0,
          message: 'A person reads and marks this one.',
        };
      const slip = slips[id];
      return slip === undefined
        ? { ...asked, state: 'agrees', marks, message: 'As expected.' }
        : {
            ...asked,
            state: 'not yet',
            marks: 0,
            slip,
            message: `4.711 mm was read. Mind: ${slip}.`,
          };
    });
    return {
      ...{ student, sheet: oneSlit, path: `${student}.ipynb`, time: '2026-11-20T12:00:00.000Z' },
      ...{ ran: 'r', key: 'k', questions, cells: [], answers: Object.fromEntries(answers) },
      written: writtenAnswers(original, notebooks[i]),
    };
  });
  const returns = writers.map(
    ({ student }, i) =>
      ({
        ...{ student, sheet: oneSlit, path: `${student}.ipynb`, time: 0, digest: student },
        text: writtenText(notebooks[i]),
      }) as unknown as FoundReturn,
  );
  const data = classData(records, [{ sheet: oneSlit, title: 'One slit', outOf: 25 }], {});
  const alike = similarReturns(key, original, returns);
  const head = { lockDown: 'none', deadline: null, latePercent: 0, counts: 'latest' as const };
  const marked = { ...head, ...data, alike, notMarked: [], passedOver: [] };

  for (const [i, record] of records.entries()) {
    const ran = executedNotebook(original, notebooks[i], record, 'a state');
    handIn(join(folder, 'students', record.student), `${oneSlit}.ipynb`, writeNotebook(ran));
    handIn(join(folder, 'records', oneSlit), `${record.student}.json`, writeRecord(record));
  }
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'class.json'), JSON.stringify(marked));
  const roster = join(folder, '..', 'roster.csv');
  const lines = writers.map(({ student, name }) => `${student},${name},${eMail}`);
  writeFileSync(roster, ['student,name,e-mail', ...lines, ''].join('\n'));
  writeFileSync(
    join(folder, 'settings.json'),
    JSON.stringify({
      ...{ zone: 'UTC', late: 0, count: 'latest' },
      roster: { file: roster, rows: writers.map(({ student }) => ({ student, extraDays: 0 })) },
    }),
  );
  const begin = () => writtenByHand(folder, sheets, returns);
  /** What a run does with written answers, from where it began; gives the marks for them. */
  const run = async (begun: Awaited<ReturnType<typeof begin>>) => {
    const given = await markWritten(folder, sheets, records, begun);
    return given.map(({ questions }) => questions.find(({ question }) => question === '2.9')!);
  };
  return { marked, begin, run };
}
