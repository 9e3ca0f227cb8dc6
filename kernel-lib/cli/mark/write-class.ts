import { join } from 'node:path';
import { version } from '../../../package.json';
import { alikeIn } from '../../marking/alike';
import { classData } from '../../marking/class-data';
import { writeCsv } from '../../marking/csv';
import { marksTable } from '../../marking/marks-table';
import type { MarkRecord } from '../../marking/record';
import { spreads } from '../../marking/spread';
import { writeWhole } from '../files';
import type { NotMarked } from './gather-returns';
import type { MarkOptions } from './mark-options';
import { writeExecuted } from './notebooks';
import type { Records } from './records';
import type { ToMark } from './return-marker';
import { latenessOf, settle, type ToSettle } from './settle';
import { byPath, changesTable, returnsTable } from './tables';
import { writePages } from './write-pages';

export interface ToWrite extends ToSettle {
  readonly toMark: readonly ToMark[];
  readonly store: Records;
  readonly notMarked: readonly NotMarked[];
  readonly confinement: string;
}

/** Write what concerns the whole class: marks as CSV and JSON, the list of returns, written answers. */
export async function writeClass(options: MarkOptions, all: ToWrite): Promise<void> {
  const { sheets, roster, marked, confinement } = all;
  const { to, deadline, late: percent, json } = options;
  const settled = await settle(options, all);
  const { records, counted } = settled;
  await writeNotebooks(to, all, records);
  const titles = [...sheets.values()].map(({ name, key }) => ({
    sheet: name,
    title: key.sheet.title,
    outOf: key.sheet.questions.reduce((sum, { marks }) => sum + marks, 0),
  }));
  const { late } = latenessOf(options, roster);
  const data = classData(records, titles, {
    ...(roster ? { roster } : {}),
    ...(late ? { late } : {}),
    others: settled.passedOver,
  });
  const notMarked = [
    ...all.notMarked,
    ...marked.broken.map(({ path, why }) => ({ path, reason: 'could not be run', why })),
  ].sort(byPath);
  const passedOver = [...settled.passedOver].sort(byPath);
  const alike = [...sheets.values()].flatMap(({ key, original }) =>
    alikeIn(key, original, counted),
  );
  const head = {
    multislit: version,
    lockDown: confinement,
    deadline: deadline === undefined ? null : new Date(deadline).toISOString(),
    latePercent: percent,
    counts: options.count,
  };
  const text = `${JSON.stringify({ ...head, ...data, alike, notMarked, passedOver }, null, 1)}\n`;
  await writeWhole(join(to, 'class.json'), text);
  if (json !== undefined) await writeWhole(json, text);
  await writePages(to, {
    data,
    lockDown: confinement,
    ...(deadline === undefined ? {} : { deadline }),
    spreads: new Map(
      [...sheets.values()].map(({ name, key }) => [
        name,
        spreads(
          key,
          records.filter(({ sheet }) => sheet === name),
        ),
      ]),
    ),
    alike,
    aside: [...notMarked, ...passedOver],
  });
  await writeWhole(join(to, 'marks.csv'), writeCsv(marksTable(data)));
  await writeWhole(join(to, 'returns.csv'), writeCsv(returnsTable(records, notMarked, passedOver)));
  const changes = changesTable(records);
  await writeWhole(join(to, 'changes.csv'), writeCsv(changes));
  tell(options, all, changes.slice(1), notMarked.length, passedOver.length);
}

/** Notebooks that are missing, or that say other marks than those that now stand, with a person's points. */
async function writeNotebooks(
  to: string,
  { toMark, store }: ToWrite,
  records: readonly MarkRecord[],
): Promise<void> {
  const byPlace = new Map(toMark.map((one) => [one.found.path, one]));
  for (const record of records) {
    const one = byPlace.get(record.path);
    if (one) await writeExecuted(to, one, record, () => store.read(one.found) ?? record);
  }
}

const most = 20;

function tell(
  { to }: MarkOptions,
  { marked, confinement }: ToWrite,
  changes: readonly (readonly (string | number)[])[],
  notMarked: number,
  passedOver: number,
): void {
  const { records, ran } = marked;
  const stood = records.length - ran + marked.broken.length;
  console.log(
    `${records.length} returns marked (${Math.max(0, stood)} stood from before), ${passedOver} passed over, ${notMarked} not marked; ${confinement}.`,
  );
  for (const { path, why } of marked.broken.slice(0, most)) console.error(`${path}: ${why}`);
  if (marked.stoppedAlone.length > 0) {
    console.log(
      `${marked.stoppedAlone.length} returns were stopped for their time, ran again with nothing beside them, and were stopped again:`,
    );
    for (const path of marked.stoppedAlone.slice(0, most)) console.log(`  ${path}`);
  }
  if (changes.length > 0) console.log(`${changes.length} marks changed:`);
  for (const [student, sheet, question, was, is] of changes.slice(0, most))
    console.log(`  ${student} ${sheet} ${question}: ${was} → ${is}`);
  console.log(
    `${join(to, 'class.html')} tells of the class, ${join(to, 'marks.csv')} has the marks, ${join(to, 'returns.csv')} every file.`,
  );
}
