import { utimesSync } from 'node:fs';
import { markOf } from '../../kernel-lib/notebook/marks';
import { sourceOf } from '../../kernel-lib/notebook/text';
import { writeNotebook } from '../../kernel-lib/notebook/write';
import { type Random, seeded } from '../../kernel-lib/numerics/random';
import { toUnit } from '../../kernel-lib/quantity/convert';
import { givensFor } from '../../kernel-lib/questions/begin';
import { openForms } from '../../kernel-lib/questions/open-forms';
import type { AnyKey, AnyOpenQuestion } from '../../kernel-lib/questions/sheet';
import { handIn, keyOf, masterOf, modelReturn, returnOf } from './class-for-test';

/** What a made-up student did with one question, and what it must earn. */
export interface Truth {
  readonly marks: number;
  readonly slip?: string;
}

/** A class of invented students whose marks are known. */
export interface MadeUpClass {
  readonly students: readonly string[];
  /** Marks of each return by question, under "SHEET STUDENT". */
  readonly truth: ReadonlyMap<string, Readonly<Record<string, Truth>>>;
  /** Paths of files that cannot be marked. */
  readonly broken: readonly string[];
}

export const dueAt = Date.parse('2026-11-20T12:00:00Z');

/** Write the returns of `count` invented students into a folder: right, slips, wrong, blank, late, broken. */
export function makeClass(folder: string, sheets: readonly string[], count: number): MadeUpClass {
  const truth = new Map<string, Record<string, Truth>>();
  const broken: string[] = [];
  const students = Array.from({ length: count }, (_, i) => String(300_000 + 7 * i));
  for (const student of students) {
    for (const sheet of sheets) {
      const random = seeded(`made-up class/${sheet}/${student}`);
      const path = `${student} ${sheet}.ipynb`;
      if (random.uniform() < 0.02) {
        const text = writeNotebook(returnOf(sheet, student));
        handIn(folder, path, text.slice(0, random.whole(text.length)));
        broken.push(path);
        continue;
      }
      const made =
        random.uniform() < 0.3 ? diligent(sheet, student) : mixed(sheet, student, random);
      const file = handIn(folder, path, made.notebook);
      const time = dueAt / 1000 + 3600 * (random.normal() * 20 - 24);
      utimesSync(file, time, time);
      truth.set(`${sheet} ${student}`, made.truth);
    }
  }
  return { students, truth, broken };
}

/** Everything as the model has it. */
function diligent(sheet: string, student: string) {
  const truth = openForms(keyOf(sheet)).map(({ id, marks }) => [id, { marks }] as const);
  return { notebook: modelReturn(sheet, student), truth: Object.fromEntries(truth) };
}

/** Each question by itself: its value, a slip's, another one, or nothing. */
function mixed(sheet: string, student: string, random: Random) {
  const key = keyOf(sheet);
  const given = givensFor(key.sheet, student);
  const names = answerNames(sheet);
  const sources: Record<string, string> = {};
  const truth: Record<string, Truth> = {};
  for (const question of openForms(key)) {
    const { id } = question;
    const answer = answerTo(question, given, random);
    truth[id] = answer.truth;
    const cell = names.get(id);
    if (answer.source !== undefined && cell)
      sources[cell.cell] = `const ${cell.name} = ${answer.source};`;
  }
  return { notebook: returnOf(sheet, student, sources), truth };
}

/** The name that each question's check asks for, and the cell where it is set. */
function answerNames(sheet: string): Map<string, { name: string; cell: string }> {
  const { cells } = masterOf(sheet);
  return new Map(
    cells.flatMap((cell) => {
      const found = /^check\('([^']+)', ([\w$]+)\)/.exec(sourceOf(cell));
      const work = cells.find((one) => {
        const mark = markOf(one);
        return mark?.role === 'work' && mark.question === found?.[1];
      });
      return found && work ? [[found[1], { name: found[2], cell: work.id }] as const] : [];
    }),
  );
}

interface Answer {
  readonly source?: string;
  readonly truth: Truth;
}

const nothing: Answer = { truth: { marks: 0 } };

function answerTo(question: AnyOpenQuestion, given: object, random: Random): Answer {
  const { marks } = question;
  const luck = random.uniform();
  if (luck < 0.15) return nothing;
  if (question.kind === 'function')
    return { source: '(..._: number[]) => 0.123', truth: { marks: 0 } };
  if (question.kind === 'word') {
    if (luck < 0.8) return { source: JSON.stringify(question.accepts(given)[0]), truth: { marks } };
    const slip = question.slips[random.whole(Math.max(1, question.slips.length))];
    if (!slip) return nothing;
    return { source: JSON.stringify(slip.words[0]), truth: { marks: 0, slip: slip.name } };
  }
  const written = (values: number | readonly number[]) => writtenValues(question, given, values);
  if (luck < 0.65) return { source: written(question.expected(given)), truth: { marks } };
  if (luck < 0.75) return { source: '-7.77e7', truth: { marks: 0 } };
  const slip = question.slips[random.whole(question.slips.length)];
  const value = slip.value(given);
  if (![value].flat().every(Number.isFinite)) return nothing;
  return { source: written(value), truth: { marks: 0, slip: slip.name } };
}

function writtenValues(
  question: Extract<AnyOpenQuestion, { kind: 'number' | 'list' }>,
  given: object,
  values: number | readonly number[],
): string {
  const { unit } = question;
  const sound = [question.uncertainty?.(given)].flat();
  const items = [values].flat().map((value, i) => {
    const number = toUnit(value, unit);
    return 'uncertainties' in question.tolerance
      ? `{ value: ${number}, u: ${toUnit(sound[i] ?? 0, unit)} }`
      : String(number);
  });
  return question.kind === 'list' ? `[${items.join(', ')}]` : items[0];
}

/** Names of the sheets that are built with a key. */
export const hasKey = (sheet: string): boolean => {
  try {
    return (keyOf(sheet) as AnyKey | undefined) !== undefined;
  } catch {
    return false;
  }
};
