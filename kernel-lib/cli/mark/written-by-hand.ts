import { randomBytes } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type FoundReturn, notebookFrom } from '../../marking/found-return';
import { writtenAnswers } from '../../marking/written-answers';
import { readWrittenTable, type WrittenAnswer, type WrittenRow } from '../../marking/written-table';
import { writeWhole } from '../files';
import { type Codes, codesWith } from './codes';
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

export const writtenFile = (folder: string, sheet: string) =>
  join(folder, 'written', `${sheet}.csv`);

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
