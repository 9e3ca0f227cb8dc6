import { createHash, randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { writeWhole } from '../kernel/files';
import { type FoundReturn, notebookFrom, writtenAnswers } from '../marking/found-return';
import {
  byHandLine,
  type ReadingLine,
  readingColumns,
  readReadings,
  rowOfReading,
  standOf,
} from '../marking/readings';
import type { MarkRecord } from '../marking/record';
import {
  asRead,
  type Entry,
  mergeWritten,
  readWrittenTable,
  type WrittenAnswer,
  type WrittenRow,
  writeWrittenTable,
} from '../marking/written-table';
import type { AnyKey } from '../questions/sheet';
import { appendRows, wholeLines, withLock } from './change-marks';
import type { SheetToMark } from './sheets-to-mark';

/** What people entered for written answers, as it stood before marking, and the way to the codes. */
export interface WrittenByHand {
  readonly codes: Codes;
  /** The table of a sheet. */
  readonly rows: ReadonlyMap<string, readonly WrittenRow[]>;
  /** Its text; '' where there is no such file yet. */
  readonly text: (sheet: string) => string;
  /** Read its text again, where somebody wrote into it meanwhile. */
  readonly read: (sheet: string, text: string) => readonly WrittenRow[];
  readonly answerOf: (one: Place, question: string, answer: string) => WrittenAnswer;
}

interface Place {
  readonly student: string;
  readonly sheet: string;
}

const writtenFile = (folder: string, sheet: string) => join(folder, 'written', `${sheet}.csv`);
const secretFile = (folder: string) => join(folder, 'written', 'codes.secret');
const textOf = (path: string) => (existsSync(path) ? readFileSync(path, 'utf8') : '');

/** What this folder's codes are made with: stays beside the tables, so that codes stay the same. */
async function secretOf(folder: string, hasTables: boolean): Promise<string> {
  const file = secretFile(folder);
  if (existsSync(file)) return readFileSync(file, 'utf8').trim();
  if (hasTables)
    throw new Error(
      `${file} is not there, with which the codes in the tables beside it were made. Put it back, or move the tables away to begin anew.`,
    );
  const secret = randomBytes(24).toString('hex');
  mkdirSync(join(folder, 'written'), { recursive: true });
  await writeWhole(file, `${secret}\n`);
  return secret;
}

/**
 * Read what people entered for written answers. Asked before anything is marked, so that a mistyped line costs no run.
 *
 * @param folder of the marks
 * @param returns those that will be marked
 * @throws Error that names the files and every line that cannot be used
 */
export async function writtenByHand(
  folder: string,
  sheets: ReadonlyMap<string, SheetToMark>,
  returns: readonly FoundReturn[],
): Promise<WrittenByHand> {
  const texts = new Map(
    [...sheets.keys()].map((sheet) => [sheet, textOf(writtenFile(folder, sheet))] as const),
  );
  const codes = codesWith(
    await secretOf(
      folder,
      [...texts.values()].some((text) => text !== ''),
    ),
  );
  const counts = new Map<string, number>();
  const place = ({ sheet, student }: Place) => `${sheet} ${student}`;
  for (const one of returns) counts.set(place(one), (counts.get(place(one)) ?? 0) + 1);

  /** Where several returns of one student are compared, each text has a code, so that none is read twice. */
  function answerOf(one: Place, question: string, answer: string): WrittenAnswer {
    const [plain, ofText] = [
      codes.of(place(one), question),
      codes.of(place(one), question, answer),
    ];
    const old = [codes.formerly(place(one)), codes.formerly(place(one), question, answer)];
    return (counts.get(place(one)) ?? 0) > 1
      ? { code: ofText, formerly: [plain, old[1], old[0]], question, answer }
      : { code: plain, formerly: [ofText, ...old], question, answer };
  }

  function read(name: string, text: string): WrittenRow[] {
    const { key, original } = sheets.get(name) as SheetToMark;
    const questions = new Map<string, string>();
    for (const one of returns) {
      if (one.sheet !== name) continue;
      const written = writtenAnswers(original, notebookFrom(one.text));
      for (const [question, answer] of Object.entries(written)) {
        const { code, formerly = [] } = answerOf(one, question, answer);
        for (const each of [code, formerly[0]]) questions.set(each, question);
      }
    }
    return readTable(folder, key, text, (code) => questions.get(code), codes.isOurs);
  }

  const problems: string[] = [];
  const rows = new Map<string, readonly WrittenRow[]>();
  for (const [name, text] of texts) {
    if (text === '') continue;
    try {
      rows.set(name, read(name, text));
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      problems.push(error.message);
    }
  }
  if (problems.length > 0) throw new Error(problems.join('\n'));
  return { codes, rows, text: (sheet) => texts.get(sheet) ?? '', read, answerOf };
}

/** @throws RangeError that names the file */
function readTable(
  folder: string,
  key: AnyKey,
  text: string,
  questionOf: (code: string) => string | undefined,
  isOurs: (code: string) => boolean,
): WrittenRow[] {
  try {
    return readWrittenTable(text, {
      schemes: new Map(Object.entries(key.schemes)),
      questionOf,
      isOurs,
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new RangeError(`${writtenFile(folder, key.sheet.name)}: ${error.message}`);
  }
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
  { rows: before, text, read: readAgain, answerOf }: WrittenByHand,
): Promise<MarkRecord[]> {
  const read = new Map<string, WrittenRow>();
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
    const file = writtenFile(folder, name);
    // Somebody may have read on while the returns were run.
    const rows = await withLock(file, async () => {
      const there = textOf(file);
      const entered = there === text(name) ? (before.get(name) ?? []) : readAgain(name, there);
      const merged = mergeWritten(different, entered);
      const now = writeWrittenTable(merged, key);
      if (now !== there) await writeWhole(file, now);
      return merged;
    });
    for (const row of rows) read.set(`${name} ${row.code}`, row);
  }
  return records.map((record) => ({
    ...record,
    questions: record.questions.map((mark) => {
      if (mark.state !== 'to be read') return mark;
      const { code } = answerOf(record, mark.question, record.written[mark.question]);
      const found = read.get(`${record.sheet} ${code}`);
      const scheme = sheets.get(record.sheet)?.key.schemes[mark.question] ?? [];
      return found ? asRead(mark, found, scheme) : mark;
    }),
  }));
}

/** What a reader makes of one answer, or takes back. */
interface ToEnter extends Pick<ReadingLine, 'by' | 'settles'> {
  readonly code: string;
  readonly entered: Entry;
  readonly undoes?: number;
}

/** The tables of written answers of a folder, as they stand each time they are asked for. */
export interface WrittenTables {
  readonly codes: Codes;
  /** @throws RangeError with a sentence where the table cannot be used */
  rowsOf(key: AnyKey): readonly WrittenRow[];
  /** All that readers entered, the oldest first. */
  readings(): readonly ReadingLine[];
  /** Into the table what counts, into the readings what was done; nobody else writes meanwhile. */
  enter(key: AnyKey, what: ToEnter): Promise<void>;
}

/**
 * @param questionOf the question of a code, where the code's return is here
 * @returns undefined where nothing was written for a person to read
 */
export function writtenTables(
  folder: string,
  questionOf: (sheet: string, code: string) => string | undefined,
): WrittenTables | undefined {
  if (!existsSync(secretFile(folder))) return undefined;
  const codes = codesWith(readFileSync(secretFile(folder), 'utf8').trim());
  const readingsFile = join(folder, 'written', 'readings.csv');
  const known = new Map<string, { stamp: string; value: unknown }>();

  /** What stands in a file, read again when it has changed. */
  function kept<Value>(path: string, read: () => Value): Value {
    const { ino = 0, mtimeMs = 0, size = 0 } = statSync(path, { throwIfNoEntry: false }) ?? {};
    const stamp = `${ino} ${mtimeMs} ${size}`;
    const old = known.get(path);
    if (old?.stamp === stamp) return old.value as Value;
    const value = read();
    known.set(path, { stamp, value });
    return value;
  }

  const rowsOf = (key: AnyKey): readonly WrittenRow[] => {
    const { name } = key.sheet;
    const path = writtenFile(folder, name);
    return kept(path, () => {
      const text = textOf(path);
      const of = (code: string) => questionOf(name, code);
      return text === '' ? [] : readTable(folder, key, text, of, codes.isOurs);
    });
  };
  const readings = () => kept(readingsFile, () => readReadings(wholeLines(readingsFile)));

  return {
    codes,
    rowsOf,
    readings,
    enter: (key, what) =>
      withLock(writtenFile(folder, key.sheet.name), () =>
        withLock(readingsFile, async () => {
          const rows = rowsOf(key);
          const row = rows.find(({ code }) => code === what.code);
          if (!row) throw new RangeError('This answer is no longer in the table.');
          const scheme = key.schemes[row.question] ?? [];
          const all = readings();
          const before = all.filter(({ code }) => code === what.code);
          const byHand = byHandLine(before, row, scheme);
          const when = `${new Date().toISOString().slice(0, 19)}Z`;
          const last = all.reduce((most, { reading }) => Math.max(most, reading), 0);
          const of = { when, sheet: key.sheet.name, question: row.question, code: row.code };
          const lines = [...(byHand ? [byHand] : []), what].map(
            (one, i): ReadingLine => ({ ...of, ...one, reading: last + i + 1 }),
          );
          const { counts } = standOf([...before, ...lines], scheme);
          const isRead = what.undoes === undefined && what.by !== '';
          const now = { ...row, ...counts, ...(isRead ? { note: '' } : {}) };
          const text = writeWrittenTable(
            rows.map((one) => (one === row ? now : one)),
            key,
          );
          // The table first: what a power cut keeps out of the readings counts as entered by hand.
          const path = writtenFile(folder, key.sheet.name);
          if (text !== textOf(path)) await writeWhole(path, text);
          appendRows(readingsFile, readingColumns, lines.map(rowOfReading));
        }),
      ),
  };
}

/** Neither vowels, so that no word or power of ten comes about, nor signs that are taken for one another. */
const signs = '23456789bcdfghjkmnpqrstvwxyz';
const bodyLength = 7;
const sumLength = 2;

/** Codes that stand for students, made with a secret of the folder. */
interface Codes {
  /** The same parts give the same code: a letter, seven signs, two that check these. */
  readonly of: (...parts: string[]) => string;
  /** True for a code made with this secret; of mistyped ones one in 784 passes. */
  readonly isOurs: (code: string) => boolean;
  /** As earlier versions made them: eight hexadecimal digits, which a spreadsheet may take for a number. */
  readonly formerly: (...parts: string[]) => string;
}

/** @example codesWith('secret').isOurs(codesWith('secret').of('02-one-slit 1001', '2.9')) // true */
export function codesWith(secret: string): Codes {
  const digest = (...parts: string[]) =>
    createHash('sha256')
      .update([secret, ...parts].join(' '))
      .digest();
  const signsOf = (count: number, ...parts: string[]) =>
    [...digest(...parts).subarray(0, count)].map((byte) => signs[byte % signs.length]).join('');
  const checked = (body: string) => `w${body}${signsOf(sumLength, 'check', body)}`;
  return {
    of: (...parts) => checked(signsOf(bodyLength, 'code', ...parts)),
    isOurs: (code) => code === checked(code.slice(1, 1 + bodyLength)) || /^[0-9a-f]{8}$/.test(code),
    formerly: (...parts) =>
      digest(...parts)
        .toString('hex')
        .slice(0, 8),
  };
}
