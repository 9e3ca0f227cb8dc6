import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Context, Hono } from 'hono';
import { Refusal } from '../desk/refusal';
import { readNotebookFile } from '../kernel/files';
import { findKey, originalNotebook } from '../kernel/sheets';
import { type WrittenTables, writtenTables } from '../marker/written-by-hand';
import type { MarkedClass, ReadNow } from '../marking/class-grid';
import { writtenAnswers } from '../marking/found-return';
import {
  type AnswerShown,
  type AnswerToRead,
  byHandLine,
  type Difference,
  held,
  type QuestionToRead,
  type ReadingLine,
  type ReadingTold,
  type Stand,
  standOf,
} from '../marking/readings';
import { plainText } from '../marking/run-report';
import { type WorkPart, workFor } from '../marking/shown-answer';
import {
  asRead,
  type Entry,
  earnedBy,
  longestRemark,
  type WrittenRow,
  wrongWith,
} from '../marking/written-table';
import { ownProperty } from '../questions/answer';
import type { AnyKey } from '../questions/sheet';
import { peopleOf } from './going-back';

/** A row of the table with all that readers made of it. */
interface Answer {
  readonly row: WrittenRow;
  readonly stand: Stand;
}

const mostRemarks = 200;
const longestName = 80;

/**
 * The written answers of a folder of marks, as people read them: the tables in `written/` and beside them
 * `readings.csv`, to which is only added. No answer tells here whose it is.
 *
 * @param marked what the last run gave
 */
export function readingIn(folder: string, marked: () => MarkedClass) {
  const keys = new Map<string, AnyKey | undefined>();
  const keyOf = (sheet: string) => {
    if (!keys.has(sheet)) keys.set(sheet, findKey(sheet));
    return keys.get(sheet);
  };
  let open: WrittenTables | undefined;
  const tables = () => {
    open ??= writtenTables(folder, (sheet, code) => whose(sheet).get(code)?.question);
    return open;
  };

  const ran = (student: string, sheet: string) => {
    const path = join(folder, 'students', student, `${sheet}.ipynb`);
    return existsSync(path) ? readNotebookFile(path) : undefined;
  };

  /** Of several returns each text has a code of its own; that of the one that counts is told by its notebook. */
  function codesOf(student: string, sheet: string, questions: readonly string[]) {
    const { codes } = tables()!;
    const place = `${sheet} ${student}`;
    const found = questions.map((question) => [codes.of(place, question), question] as const);
    if (marked().counts !== 'best') return found;
    const [notebook, original] = [ran(student, sheet), originalNotebook(sheet)];
    if (!notebook || original === undefined) return found;
    const cells = notebook.cells.filter(({ id }) => id !== 'as-marked' && !id.endsWith('-verdict'));
    const written = writtenAnswers(readNotebookFile(original), { ...notebook, cells });
    const byText = Object.entries(written).map(
      ([question, answer]) => [codes.of(place, question, answer), question] as const,
    );
    return [...byText, ...found];
  }

  type Whose = ReadonlyMap<string, { readonly student: string; readonly question: string }>;
  let known: { of: MarkedClass; bySheet: Map<string, Whose>; codes: Map<string, string[]> };

  /** Students by code. It stays on this side of the desk. */
  function whose(sheet: string): Whose {
    const all = marked();
    if (known?.of !== all) known = { of: all, bySheet: new Map(), codes: new Map() };
    const old = known.bySheet.get(sheet);
    if (old) return old;
    const found = new Map<string, { student: string; question: string }>();
    known.bySheet.set(sheet, found);
    const questions = Object.keys(keyOf(sheet)?.schemes ?? {});
    for (const { student, sheets } of all.students) {
      if (!sheets.some((one) => one.sheet === sheet)) continue;
      for (const [code, question] of codesOf(student, sheet, questions)) {
        found.set(code, { student, question });
        const place = `${student} ${sheet} ${question}`;
        known.codes.set(place, [...(known.codes.get(place) ?? []), code]);
      }
    }
    return found;
  }

  const indexes = new WeakMap<readonly WrittenRow[], ReadonlyMap<string, WrittenRow>>();
  function rowsByCode(key: AnyKey): ReadonlyMap<string, WrittenRow> {
    const rows = tables()?.rowsOf(key) ?? [];
    const old = indexes.get(rows);
    if (old) return old;
    const found = new Map(rows.map((row) => [row.code, row]));
    indexes.set(rows, found);
    return found;
  }

  const readNow: ReadNow = (student, sheet, mark) => {
    const key = keyOf(sheet);
    const scheme = key?.schemes[mark.question];
    if (!key || !scheme || !tables()) return undefined;
    try {
      const rows = rowsByCode(key);
      whose(sheet);
      const codes = known.codes.get(`${student} ${sheet} ${mark.question}`) ?? [];
      const row = codes.flatMap((code) => rows.get(code) ?? [])[0];
      return row && asRead(mark, row, scheme);
    } catch (error) {
      // What is wrong with the table is told where it is read.
      if (error instanceof RangeError) return undefined;
      throw error;
    }
  };

  /** The answers to a question, in the order of their codes: these were drawn with the folder's secret, so nobody's turn tells who it is. */
  function answersTo(key: AnyKey, question: string): Answer[] {
    const scheme = key.schemes[question] ?? [];
    const lines = new Map<string, ReadingLine[]>();
    for (const one of tables()?.readings() ?? []) {
      const list = lines.get(one.code);
      if (list) list.push(one);
      else lines.set(one.code, [one]);
    }
    return (tables()?.rowsOf(key) ?? []).flatMap((row) => {
      if (row.question !== question || !whose(key.sheet.name).has(row.code)) return [];
      const own = lines.get(row.code) ?? [];
      const byHand = byHandLine(own, row, scheme);
      const rest = { when: '', sheet: key.sheet.name, question, code: row.code, reading: Infinity };
      return [{ row, stand: standOf(byHand ? [...own, { ...rest, ...byHand }] : own, scheme) }];
    });
  }

  const isRead = (entry: Entry | undefined, scheme: AnyKey['schemes'][string]) =>
    entry !== undefined && earnedBy(entry, scheme) !== undefined;

  function asTold({ row, stand }: Answer, by: string, scheme: AnyKey['schemes'][string]) {
    const mine = stand.byReader.get(by);
    const others = [...stand.byReader].some(([name, one]) => name !== by && isRead(one, scheme));
    const is = isRead(mine, scheme) ? 'mine' : others ? 'second' : 'unread';
    // Who reads for a second time sees nothing of the first.
    const note = is === 'second' && stand.byReader.get(by) === undefined ? '' : row.note;
    return { code: row.code, is, note, ...(mine ? { mine } : {}) } as const;
  }

  function keyWith(sheet: string, question: string): AnyKey {
    const key = keyOf(sheet);
    if (!key?.schemes[question])
      throw new Refusal(404, `${sheet} has no written question ${question}.`);
    return key;
  }

  function told(by: string): ReadingTold {
    const problems: string[] = [];
    const questions = marked().sheets.flatMap(({ sheet, title, questions: asked }) => {
      const key = keyOf(sheet);
      if (!key) return [];
      try {
        return asked.flatMap(({ question, asks, outOf }): QuestionToRead[] => {
          const scheme = key.schemes[question];
          if (!scheme) return [];
          const answers = answersTo(key, question);
          const counts = { unread: 0, second: 0, mine: 0 };
          for (const one of answers) counts[asTold(one, by, scheme).is] += 1;
          const differ = answers.filter(({ stand }) => stand.differ.length > 0).length;
          const rest = { answers: answers.length, ...counts, differ };
          return [{ sheet, title, question, asks, outOf, scheme, ...rest }];
        });
      } catch (error) {
        if (!(error instanceof RangeError)) throw error;
        problems.push(error.message);
        return [];
      }
    });
    const seen = new Set<string>();
    const remarks = held(problems.length > 0 ? [] : (tables()?.readings() ?? []))
      .filter((one) => one.by === by && one.entered.remark !== '' && one.settles === '')
      .reverse()
      .map(({ sheet, question, entered }) => ({ sheet, question, remark: entered.remark }))
      .filter(({ question, remark }) => {
        const id = `${question} ${remark}`;
        return !seen.has(id) && seen.add(id);
      })
      .slice(0, mostRemarks);
    const problem = problems.join('\n');
    return { questions, remarks, ...(problem === '' ? {} : { problem }) };
  }

  function answers(sheet: string, question: string, by: string): AnswerToRead[] {
    const key = keyWith(sheet, question);
    return answersTo(key, question).map((one) => asTold(one, by, key.schemes[question]));
  }

  /** What was written, without whatever of it names the student. */
  function shown(sheet: string, question: string, code: string): AnswerShown {
    const key = keyWith(sheet, question);
    const row = rowsByCode(key).get(code);
    if (!row) throw new Refusal(404, 'This answer is no longer in the table.');
    const place = whose(sheet).get(code);
    const notebook = place && ran(place.student, sheet);
    const text: WorkPart = { is: 'text', isOwn: false, source: row.answer, outputs: [] };
    const parts = notebook ? workFor(notebook, question) : [];
    const numbers = new Set(marked().students.map(({ student }) => student));
    const hide = hidden(folder, place?.student ?? '', numbers);
    return {
      code,
      scheme: key.schemes[question],
      parts: (parts.some(({ is }) => is === 'text') ? parts : [text, ...parts]).map((part) => ({
        ...part,
        source: hide(part.source),
        outputs: part.outputs.map((output) => ({ ...output, text: hide(output.text) })),
      })),
    };
  }

  function differences(sheet: string, question: string): Difference[] {
    const key = keyWith(sheet, question);
    const scheme = key.schemes[question];
    return answersTo(key, question).flatMap(({ row, stand }): Difference[] => {
      const isOpen = stand.differ.length > 0;
      if (!isOpen && !(stand.settled && stand.byReader.size > 1)) return [];
      const readings = [...stand.byReader].flatMap(([by, entered]) => {
        const marks = earnedBy(entered, scheme);
        return marks === undefined ? [] : [{ by, entered, marks }];
      });
      const { settled } = stand;
      const counts = earnedBy(stand.counts, scheme) ?? null;
      return [{ code: row.code, readings, counts, ...(settled && !isOpen ? { settled } : {}) }];
    });
  }

  async function enter(
    { sheet, question, code }: Pick<ReadingLine, 'sheet' | 'question' | 'code'>,
    what: Pick<ReadingLine, 'by' | 'entered' | 'settles' | 'undoes'>,
  ): Promise<void> {
    const key = keyWith(sheet, question);
    const scheme = key.schemes[question];
    const row = { code, question, answer: '', note: '', ...what.entered };
    const wrong = [...wrongWith(row, what.entered.points, scheme)];
    if (wrong.length > 0) throw new Refusal(400, `It ${wrong.join(' It ')}`);
    const open = tables();
    if (!open) throw new Refusal(404, 'Nothing was written in this folder for a person to read.');
    await open.enter(key, { code, ...what });
  }

  /** Take back what this reader did last; gives where that was. */
  async function undo(by: string) {
    const last = held(tables()?.readings() ?? []).findLast((one) => one.by === by);
    if (!last) throw new Refusal(409, 'There is nothing of yours to be taken back.');
    await enter(last, {
      by,
      entered: { ticks: [], points: '', remark: '' },
      settles: '',
      undoes: last.reading,
    });
    return { sheet: last.sheet, question: last.question, code: last.code };
  }

  return { readNow, told, answers, shown, differences, enter, undo };
}

/** What names a student goes out of a text: numbers of the class, and the writer's name and address as the roster has them. */
function hidden(folder: string, student: string, numbers: ReadonlySet<string>) {
  const person = peopleOf(folder).get(student);
  const names = (person?.name ?? '').split(/[\s,]+/).filter((part) => part.length > 2);
  const literally = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
  const words = [
    ...(person?.email ? [[person.email, '[e-mail]']] : []),
    ...names.map((name) => [name, '[name]']),
  ].map(
    ([word, said]) =>
      [new RegExp(`(?<![\\p{L}\\p{N}])${literally(word)}(?![\\p{L}\\p{N}])`, 'giu'), said] as const,
  );
  return (text: string): string =>
    words
      .reduce((left, [word, said]) => left.replace(word, said), text)
      .replace(/\d{4,}/g, (digits) => (numbers.has(digits) ? '[number]' : digits));
}

/** The routes by which written answers are read. */
export function readingRoutes(
  app: Hono,
  folderOf: (c: Context) => { readonly reading: ReturnType<typeof readingIn> },
): void {
  const text = (from: unknown, name: string): string => {
    const found = ownProperty(from, name);
    return typeof found === 'string' ? found : '';
  };
  const oneLine = (from: unknown, name: string, longest: number) =>
    plainText(text(from, name), longest).replace(/\s+/g, ' ').trim();
  const readerIn = (from: unknown): string => {
    const by = oneLine(from, 'by', longestName);
    if (by === '') throw new Refusal(400, 'Type your name first: readings are kept by reader.');
    return by;
  };
  const placeIn = (from: unknown) => ({
    ...{ sheet: text(from, 'sheet'), question: text(from, 'question') },
    code: text(from, 'code'),
  });
  const entryIn = (from: unknown): Entry => {
    const ticks = ownProperty(from, 'ticks');
    return {
      ticks: Array.isArray(ticks) ? ticks.map((one) => plainText(one, 10).trim()) : [],
      points: oneLine(from, 'points', 10).replace(',', '.'),
      remark: oneLine(from, 'remark', longestRemark),
    };
  };
  const query = (c: Context) => c.req.query();

  app.get('/reading', (c) => c.json(folderOf(c).reading.told(query(c).by ?? '')));

  app.get('/reading/answers', (c) => {
    const { sheet = '', question = '' } = query(c);
    return c.json(folderOf(c).reading.answers(sheet, question, readerIn(query(c))));
  });

  app.get('/reading/answer', (c) => {
    const { sheet, question, code } = placeIn(query(c));
    return c.json(folderOf(c).reading.shown(sheet, question, code));
  });

  app.get('/reading/differences', (c) => {
    const { sheet = '', question = '' } = query(c);
    return c.json(folderOf(c).reading.differences(sheet, question));
  });

  app.post('/reading', async (c) => {
    const body: unknown = await c.req.json().catch(() => undefined);
    const by = readerIn(body);
    const { reading } = folderOf(c);
    if (ownProperty(body, 'undo') === true) return c.json(await reading.undo(by));
    const settles = oneLine(body, 'settles', longestRemark);
    if (ownProperty(body, 'settle') === true && settles === '')
      throw new Refusal(400, 'Give a reason: the other reader will ask for one.');
    const place = placeIn(body);
    await reading.enter(place, { by, entered: entryIn(ownProperty(body, 'entered')), settles });
    return c.json({ code: place.code });
  });
}
