import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Context, Hono } from 'hono';
import { Refusal } from '../desk/refusal';
import { readNotebookFile } from '../kernel/files';
import { findKey, originalNotebook } from '../kernel/sheets';
import type { MarkedClass } from '../marking/class-grid';
import { answersOverExpected, type RatiosTold, type WholeTold } from '../marking/class-whole';
import { readRecord } from '../marking/record';
import { type SideBySide, sideBySide } from '../marking/side-by-side';
import { sourceOf, tagOf } from '../notebook/notebook';
import { openForms } from '../questions/sheet';

type Told = MarkedClass & Pick<WholeTold, 'alike'>;

/** What is told of the class beside its marks: what was asked, which hints were given, who wrote alike. */
function wholeTold(marked: MarkedClass): WholeTold {
  const hints: Record<string, string> = {};
  const texts: Record<string, string> = {};
  for (const { sheet, questions } of marked.sheets) {
    for (const { question, slips } of questions)
      for (const { slip, hint } of slips) hints[`${sheet} ${question} ${slip}`] = hint;
    const original = originalNotebook(sheet);
    if (original === undefined) continue;
    for (const cell of readNotebookFile(original).cells) {
      const tag = tagOf(cell);
      if (tag?.role !== 'text' || tag.question === undefined) continue;
      const place = `${sheet} ${tag.question}`;
      texts[place] = `${texts[place] ?? ''}${sourceOf(cell)}\n\n`;
    }
  }
  return { hints, texts, alike: (marked as Told).alike ?? [] };
}

/** Answers over expected values of a sheet, of the returns that count. */
function ratiosTold(folder: string, marked: MarkedClass, sheet: string): RatiosTold[] {
  const key = findKey(sheet);
  const records = join(folder, 'records', sheet);
  if (!key || !existsSync(records)) return [];
  const counts = new Map(
    marked.students.flatMap(({ student, sheets }) =>
      sheets.flatMap((one) => (one.sheet === sheet ? [[one.path, student] as const] : [])),
    ),
  );
  const found = readdirSync(records).flatMap((name) => {
    const record = name.endsWith('.json')
      ? readRecord(readFileSync(join(records, name), 'utf8'))
      : undefined;
    return record && counts.get(record.path) === record.student
      ? [{ student: record.student, ratios: answersOverExpected(key, record) }]
      : [];
  });
  return openForms(key).flatMap(({ id, kind }) =>
    kind === 'number'
      ? [
          {
            question: id,
            ratios: found.flatMap(({ student, ratios }) => {
              const ratio = ratios.get(id);
              return ratio === undefined ? [] : [{ student, ratio }];
            }),
          },
        ]
      : [],
  );
}

function pairTold(
  folder: string,
  marked: MarkedClass,
  sheet: string,
  students: readonly [string, string],
): SideBySide {
  const original = originalNotebook(sheet);
  const asked = marked.sheets.find((one) => one.sheet === sheet);
  const ran = students.map((student) => {
    const path = join(folder, 'students', student, `${sheet}.ipynb`);
    const isHere = marked.students.some((one) => one.student === student) && existsSync(path);
    if (!isHere)
      throw new Refusal(404, `No return of ${student || 'nobody'} as it ran is in this folder.`);
    return readNotebookFile(path);
  });
  if (original === undefined || !asked) throw new Refusal(404, `There is no sheet ${sheet} here.`);
  const questions = asked.questions.map(({ question }) => question);
  const cells = sideBySide(readNotebookFile(original), questions, ran[0], ran[1]);
  return { sheet, students, cells };
}

/** The routes by which the class as a whole is looked at. */
export function classRoutes(
  app: Hono,
  folderOf: (c: Context) => { readonly folder: string; readonly marked: () => MarkedClass },
): void {
  app.get('/whole', (c) => c.json(wholeTold(folderOf(c).marked())));

  app.get('/whole/ratios', (c) => {
    const { folder, marked } = folderOf(c);
    return c.json(ratiosTold(folder, marked(), c.req.query('sheet') ?? ''));
  });

  app.get('/whole/pair', (c) => {
    const { folder, marked } = folderOf(c);
    const { sheet = '', one = '', other = '' } = c.req.query();
    return c.json(pairTold(folder, marked(), sheet, [one, other]));
  });
}
