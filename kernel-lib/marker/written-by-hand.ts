import { createHash, randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { writeWhole } from '../kernel/files';
import { type FoundReturn, notebookFrom, writtenAnswers } from '../marking/found-return';
import type { MarkRecord } from '../marking/record';
import { plainText } from '../marking/run-report';
import {
  earnedBy,
  mergeWritten,
  readWrittenTable,
  type WrittenAnswer,
  type WrittenRow,
  writeWrittenTable,
} from '../marking/written-table';
import type { SheetToMark } from './sheets-to-mark';

/** What people entered for written answers, as it stood before marking, and the way to the codes. */
export interface WrittenByHand {
  readonly codes: Codes;
  /** The table of a sheet. */
  readonly rows: ReadonlyMap<string, readonly WrittenRow[]>;
  /** Its text; '' where there is no such file yet. */
  readonly text: (sheet: string) => string;
  readonly answerOf: (one: Place, question: string, answer: string) => WrittenAnswer;
}

interface Place {
  readonly student: string;
  readonly sheet: string;
}

const writtenFile = (folder: string, sheet: string) => join(folder, 'written', `${sheet}.csv`);

/** What this folder's codes are made with: stays beside the tables, so that codes stay the same. */
async function secretOf(folder: string, hasTables: boolean): Promise<string> {
  const file = join(folder, 'written', 'codes.secret');
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
    [...sheets.keys()].map((sheet) => {
      const file = writtenFile(folder, sheet);
      return [sheet, existsSync(file) ? readFileSync(file, 'utf8') : ''] as const;
    }),
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

  const problems: string[] = [];
  const rows = new Map<string, readonly WrittenRow[]>();
  for (const { name, key, original } of sheets.values()) {
    const text = texts.get(name) ?? '';
    if (text === '') continue;
    const questions = new Map<string, string>();
    for (const one of returns) {
      if (one.sheet !== name) continue;
      const written = writtenAnswers(original, notebookFrom(one.text));
      for (const [question, answer] of Object.entries(written)) {
        const { code, formerly = [] } = answerOf(one, question, answer);
        for (const each of [code, formerly[0]]) questions.set(each, question);
      }
    }
    try {
      const known = {
        schemes: new Map(Object.entries(key.schemes)),
        questionOf: (code: string) => questions.get(code),
        isOurs: codes.isOurs,
      };
      rows.set(name, readWrittenTable(text, known));
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      problems.push(`${writtenFile(folder, name)}: ${error.message}`);
    }
  }
  if (problems.length > 0) throw new Error(problems.join('\n'));
  return { codes, rows, text: (sheet) => texts.get(sheet) ?? '', answerOf };
}

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
