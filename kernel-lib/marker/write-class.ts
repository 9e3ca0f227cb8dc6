import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { version } from '../../package.json';
import { counted as howMany } from '../figures/shown';
import { writeInParts, writeWhole } from '../kernel/files';
import { type ClassData, classData } from '../marking/class-data';
import { csvLines, writeCsv } from '../marking/csv';
import type { FoundReturn } from '../marking/found-return';
import type { NotMarked } from '../marking/not-marked';
import { type MarkRecord, toLookAt } from '../marking/record';
import { spreads } from '../marking/report/class-charts';
import { type ClassReport, classPage } from '../marking/report/class-page';
import { modelAnswers, modelFolder, modelNotebook, workingOf } from '../marking/report/solutions';
import { type BesideMarks, studentPage } from '../marking/report/student-page';
import {
  byPath,
  cameInFile,
  cameInTable,
  marksTable,
  returnsTable,
} from '../marking/report/tables';
import { similarReturns } from '../marking/similarity';
import {
  type Moved,
  movedTable,
  nextStanding,
  noStanding,
  readStanding,
} from '../marking/standing';
import { writeNotebook } from '../notebook/write-notebook';
import { givensFor } from '../questions/draw';
import type { MarkOptions } from './settings';
import { latenessOf, settle, type ToSettle } from './settle';
import type { ToMark } from './sheets-to-mark';
import { digestOf } from './sheets-to-mark';
import { type Records, writeExecuted } from './store';

interface ToWrite extends ToSettle {
  readonly toMark: readonly ToMark[];
  readonly store: Records;
  /** All returns whose student and sheet are known. */
  readonly found: readonly FoundReturn[];
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
  const { late, extraDays } = latenessOf(options, roster);
  const notMarked = [
    ...all.notMarked.map(({ archive: _, ...one }) => one),
    ...marked.broken.map(({ path, why }) => ({ path, reason: 'could not be run', why })),
  ].sort(byPath);
  const data = classData(records, titles, {
    ...(roster ? { roster } : {}),
    ...(late ? { late } : {}),
    ...{ extraDays, others: settled.passedOver, notMarked },
  });
  const passedOver = [...settled.passedOver].sort(byPath);
  const alike = [...sheets.values()].flatMap(({ key, original }) =>
    // What a group handed in together is one text.
    similarReturns(
      key,
      original,
      counted.filter(({ drawnFor }) => drawnFor === undefined),
    ),
  );
  const head = {
    multislit: version,
    ...(options.course === undefined ? {} : { course: options.course }),
    lockDown: confinement,
    deadline: deadline === undefined ? null : new Date(deadline).toISOString(),
    latePercent: percent,
    counts: options.count,
    ...(late?.again
      ? { again: late.again.map(({ until, cap }) => [new Date(until).toISOString(), cap]) }
      : {}),
  };
  const text = `${JSON.stringify({ ...head, ...data, alike, notMarked, passedOver }, null, 1)}\n`;
  await writeWhole(join(to, 'class.json'), text);
  if (json !== undefined) await writeWhole(json, text);
  const besides = besideMarks(options, all, counted);
  await writePages(to, besides, {
    data,
    lockDown: confinement,
    zone: options.zone,
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
  const times = new Map(all.found.map((one) => [one.path, one]));
  const rows = returnsTable(records, notMarked, passedOver, times, options.zone);
  writeInParts(join(to, 'returns.csv'), csvLines(rows));
  rmSync(join(to, cameInFile), { force: true });
  await writeModels(options, all, data);
  const moved = await writeStanding(options, all, data, counted);
  tell(options, all, data, moved, notMarked.length, passedOver.length);
}

/** Tell which marks moved since the last run, and keep how they stand now. */
async function writeStanding(
  { to, count, deadline, late, believeTimes, again, extra: granted }: MarkOptions,
  { marked, roster = [], found }: ToWrite,
  data: ClassData,
  counted: readonly FoundReturn[],
): Promise<Moved[]> {
  const file = join(to, 'standing.json');
  const before = existsSync(file) ? readFileSync(file, 'utf8') : '';
  const extra = roster.filter(({ extraDays }) => extraDays > 0);
  const byTable = found
    .filter(({ from }) => from === 'table')
    .map(({ path, time }) => [path, time]);
  const { standing, moved } = nextStanding(readStanding(before) ?? noStanding, {
    when: `${new Date().toISOString().slice(0, 19)}Z`,
    counts: count,
    lateness: digestOf(
      JSON.stringify([deadline, late, believeTimes, extra, byTable]),
      ...[again, granted].flatMap((one) => (one.length > 0 ? [JSON.stringify(one)] : [])),
    ),
    data,
    machine: new Map(marked.records.map((record) => [record.path, record])),
    texts: new Map(counted.map(({ path, digest }) => [path, digest])),
  });
  const text = `${JSON.stringify(standing, null, 1)}\n`;
  if (text !== before) await writeWhole(file, text);
  writeInParts(join(to, 'changes.csv'), csvLines(movedTable(standing.moved)));
  return moved;
}

/** Write what came in, before anything is marked. */
export function writeCameIn(
  to: string,
  zone: string,
  {
    found,
    counted,
    notMarked,
    passedOver,
  }: Pick<ToWrite, 'found' | 'counted' | 'notMarked' | 'passedOver'>,
): void {
  const times = new Map(found.map((one) => [one.path, one]));
  const rows = cameInTable(counted, notMarked, passedOver, times, zone);
  writeInParts(join(to, cameInFile), csvLines(rows));
}

/** What stands beside the marks of a student: the working, and model answers where they are given by now. */
function besideMarks(
  { solutions }: MarkOptions,
  { sheets }: Pick<ToWrite, 'sheets'>,
  counted: readonly FoundReturn[],
): (student: string) => BesideMarks {
  const returns = new Map<string, FoundReturn[]>();
  for (const one of counted) returns.set(one.student, [...(returns.get(one.student) ?? []), one]);
  return (student) => {
    const own = (returns.get(student) ?? []).flatMap(({ sheet: name, text, drawnFor }) => {
      const sheet = sheets.get(name);
      return sheet ? [{ ...sheet, text, drawn: drawnFor ?? student }] : [];
    });
    const working = new Map(
      own.map(({ name, original, text }) => [name, workingOf(original, text)]),
    );
    if (!solutions) return { working };
    const model = new Map(
      own.map(({ name, key, original, drawn }) => [name, modelAnswers(key, original, drawn)]),
    );
    const given = new Map(
      own.map(({ name, key, drawn }) => [
        name,
        key.sheet.tells?.(givensFor(key.sheet, drawn)) ?? [],
      ]),
    );
    return { working, model, given };
  };
}

/** Write each sheet with its model answers and the numbers of each student, or take that away where it is not given. */
async function writeModels(
  { to, solutions }: MarkOptions,
  { sheets }: ToWrite,
  { students }: ClassData,
): Promise<void> {
  for (const { student, sheets: own } of students) {
    const folder = join(to, 'students', student, modelFolder);
    if (!solutions) {
      rmSync(folder, { recursive: true, force: true });
      continue;
    }
    mkdirSync(folder, { recursive: true });
    for (const [name, { key, original }] of sheets) {
      const drawn = own.find(({ sheet }) => sheet === name)?.drawnFor ?? student;
      const notebook = modelNotebook(key, original, drawn);
      await writeChanged(join(folder, `${name}.ipynb`), writeNotebook(notebook));
    }
  }
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
  { to, deadline, late }: MarkOptions,
  { marked, confinement }: ToWrite,
  data: ClassData,
  moved: readonly Moved[],
  notMarked: number,
  passedOver: number,
): void {
  const { records, ran } = marked;
  const stood = records.length - ran + marked.broken.length;
  console.log(
    `${howMany(records.length, 'return')} marked (${Math.max(0, stood)} stood from before), ${passedOver} passed over, ${notMarked} not marked; ${confinement}.`,
  );
  for (const { path, why } of marked.broken.slice(0, most)) console.error(`${path}: ${why}`);
  if (marked.stoppedAlone.length > 0) {
    console.log(
      `${howMany(marked.stoppedAlone.length, 'return')} stopped for the time, run again with nothing beside, and stopped again:`,
    );
    for (const path of marked.stoppedAlone.slice(0, most)) console.log(`  ${path}`);
  }
  tellDoubts(data, deadline, late);
  const flagged = records.filter((record) => toLookAt(record).length > 0).length;
  if (flagged > 0)
    console.log(
      `${howMany(flagged, 'return')} to look at: see “Returns to look at” in class.html.`,
    );
  if (moved.length > 0) console.log(`${howMany(moved.length, 'mark')} changed:`);
  for (const { student, sheet, question, before, now, cause } of moved.slice(0, most))
    console.log(`  ${student} ${sheet} ${question}: ${before ?? '–'} → ${now ?? '–'} (${cause})`);
  console.log(
    `${join(to, 'class.html')} tells of the class, ${join(to, 'marks.csv')} has the marks, ${join(to, 'returns.csv')} every file.`,
  );
}

/** Times that cannot be relied on are told before they cost anything. */
function tellDoubts({ students }: ClassData, deadline: number | undefined, late: number): void {
  if (deadline === undefined || late === 0) return;
  const reasons = new Map<string, number>();
  for (const { sheets } of students)
    for (const { held } of sheets)
      if (held !== undefined) {
        const kind = held.replace(/\d{4}-.*/, '…');
        reasons.set(kind, (reasons.get(kind) ?? 0) + 1);
      }
  for (const [why, count] of reasons)
    console.log(
      `${howMany(count, 'return')} would be late by a time that is in doubt, so nothing was deducted. ${why} Give --times, or say --believe-times.`,
    );
}

/** Write the pages that people read: one for the class, one for each student. Those that are as they were stay. */
async function writePages(
  folder: string,
  beside: (student: string) => BesideMarks,
  report: ClassReport,
): Promise<void> {
  await writeChanged(join(folder, 'class.html'), classPage(report));
  mkdirSync(join(folder, 'students'), { recursive: true });
  for (const one of report.data.students)
    await writeChanged(
      join(folder, 'students', `${one.student}.html`),
      studentPage(one, report.data, report.zone, beside(one.student)),
    );
}

async function writeChanged(path: string, text: string): Promise<void> {
  if (existsSync(path) && readFileSync(path, 'utf8') === text) return;
  await writeWhole(path, text);
}
