import type { AnyKey } from '../questions/sheet';
import { refuseAll, tableRows, unled, writeCsv } from './csv';
import { type QuestionMark, waitsSaid } from './judge-return';
import { plainText } from './run-report';

/** An answer for a person to read. `code` stands for the student and the question. */
export interface WrittenAnswer {
  readonly code: string;
  readonly question: string;
  readonly answer: string;
  /** Other codes under which the same answer may have been read before. */
  readonly formerly?: readonly string[];
}

/** A row of the table as it stands in the file. */
export interface WrittenRow {
  readonly code: string;
  readonly question: string;
  readonly answer: string;
  /** As entered, with a decimal point; '' where nothing was. */
  readonly points: string;
  /** What was ticked at each line of the mark scheme, as entered. */
  readonly ticks: readonly string[];
  /** For the student. */
  readonly remark: string;
  /** What the program says of the row. */
  readonly note: string;
}

/** The mark scheme of a written question: what each of its lines earns, for what, and whether half of it can be met. */
export type Scheme = AnyKey['schemes'][string];

/** What a person made of an answer. */
export type Entry = Pick<WrittenRow, 'ticks' | 'points' | 'remark'>;

/** What a row can be about. */
export interface Readable {
  /** By question. */
  readonly schemes: ReadonlyMap<string, Scheme>;
  /** The question of a code whose return is here. */
  readonly questionOf: (code: string) => string | undefined;
  /** True for a code that this folder made, whether or not its return is here now. */
  readonly isOurs: (code: string) => boolean;
}

const columns = ['code', 'question', 'answer', 'points', 'remark'] as const;
const tickColumn = (i: number) => `line ${i + 1}`;
const mostLines = 20;

const ticked = /^(?:x|✓|✔|√|yes|true)$/i;
const tenth = (points: number) => Math.round(1000 * points) / 1000;
const numberIn = (text: string) => (text === '' ? Number.NaN : Number(text.replace(',', '.')));

/** Marks for one line: all of them for a tick, else as many as the number says. */
const lineMarks = (tick: string, full: number): number =>
  tick === '' ? 0 : ticked.test(tick) ? full : numberIn(tick);

/** What a row earns by its points, or by the lines that are ticked; undefined where nobody has read it. */
export function earnedBy(
  { points, ticks }: Omit<Entry, 'remark'>,
  scheme: Scheme,
): number | undefined {
  if (points !== '') return Number(points);
  if (ticks.every((tick) => tick === '')) return undefined;
  return tenth(scheme.reduce((sum, { marks }, i) => sum + lineMarks(ticks[i] ?? '', marks), 0));
}

/** Longest remark, UTF-16 units: half a page. */
export const longestRemark = 2000;

/** The mark of a written question as a person read it: what `row` says, and nothing of what stood there before. */
export function asRead(mark: QuestionMark, row: Entry, scheme: Scheme): QuestionMark {
  const { isRead: _, ticks: __, remark: ___, ...bare } = mark;
  const said = plainText(row.remark, longestRemark);
  const remark = said === '' ? {} : { remark: said };
  const marks = earnedBy(row, scheme);
  if (marks === undefined)
    return { ...bare, state: 'to be read', marks: 0, message: waitsSaid, ...remark };
  const ticks =
    row.points !== '' && row.ticks.every((tick) => tick === '')
      ? {}
      : {
          ticks: scheme.map(({ point, marks: full }, i) => ({
            point,
            marks: tenth(lineMarks(row.ticks[i] ?? '', full)),
            outOf: full,
          })),
        };
  return {
    ...bare,
    state: marks === mark.outOf ? 'agrees' : 'not yet',
    marks,
    message: 'Read and marked by a person.',
    isRead: true,
    ...ticks,
    ...remark,
  };
}

/** Earlier versions wrote this into the remark. */
const changedBefore = 'The answer has changed since the points were entered.';

/**
 * Read a table back with what a person entered.
 *
 * @throws RangeError that names every line in which something makes no sense; nothing is guessed
 */
export function readWrittenTable(text: string, known: Readable): WrittenRow[] {
  const problems: string[] = [];
  const seen = new Map<string, string>();
  const rows = tableRows(text, columns).map(({ where, aside, cell }): WrittenRow => {
    const trimmed = (column: string) => cell(column).trim();
    const code = trimmed('code');
    const question = known.questionOf(code) ?? trimmed('question').replace(',', '.');
    const ticks = Array.from({ length: mostLines }, (_, i) => trimmed(tickColumn(i)));
    const given = trimmed('points');
    const remark = cell('remark');
    const row = {
      code,
      question,
      answer: cell('answer'),
      points: given.replace(',', '.'),
      ticks: ticks.slice(0, ticks.findLastIndex((tick) => tick !== '') + 1),
      remark: unled(remark.replace(changedBefore, '').trim()),
      note: trimmed('note') || (remark.includes(changedBefore) ? changed : ''),
    };
    const refuse = (why: string) => problems.push(`${where} ${why}${aside}`);
    if (!known.isOurs(code))
      refuse(`has "${code.slice(0, 40)}" as code, which this folder never gave out.`);
    const id = idOf(row);
    const first = seen.get(id);
    if (first !== undefined)
      refuse(`repeats the code ${code} of ${first.toLowerCase()}; keep one of the two.`);
    seen.set(id, first ?? where);
    const scheme = known.schemes.get(question);
    if (scheme) for (const why of wrongWith(row, given, scheme)) refuse(`(code ${code}) ${why}`);
    else if (hasMarks(row))
      refuse(`(code ${code}) has "${question}" as question, which nobody reads.`);
    return row;
  });
  refuseAll(problems, 'Nothing was marked, and the table stays as it is.');
  return rows;
}

const hasMarks = ({ points, ticks }: WrittenRow) => points !== '' || ticks.length > 0;
const hasEntry = (row: WrittenRow) => hasMarks(row) || row.remark !== '';

/** What of an entry cannot be, as ends of sentences. */
export function* wrongWith(row: WrittenRow, given: string, scheme: Scheme): Generator<string> {
  const full = scheme.reduce((sum, { marks }) => sum + marks, 0);
  const points = numberIn(given);
  const isPossible = (value: number, most: number) => value >= 0 && value <= most;
  if (given !== '' && !isPossible(points, full))
    yield `has "${given}" as points; a number from 0 to ${full} was expected.`;
  let sound = true;
  for (const [i, tick] of row.ticks.entries()) {
    if (i >= scheme.length && tick !== '') {
      sound = false;
      yield `ticks line ${i + 1}; its mark scheme has ${scheme.length}.`;
    } else if (
      i < scheme.length &&
      !isPossible(lineMarks(tick, scheme[i].marks), scheme[i].marks)
    ) {
      sound = false;
      yield `has "${tick}" at line ${i + 1}; x or a number from 0 to ${scheme[i].marks} was expected.`;
    }
  }
  const byTicks = earnedBy({ ...row, points: '' }, scheme);
  if (sound && given !== '' && byTicks !== undefined && byTicks !== tenth(points))
    yield `has ${given} points, but its ticks make ${byTicks}; keep one of the two.`;
}

const changed = 'the answer has changed since it was read';
const gone = 'no return with this code is here';

/** A code of an earlier version stood for the student alone. */
const isOld = (code: string) => /^[0-9a-f]{8}$/.test(code);
const idOf = ({ code, question }: { code: string; question: string }) =>
  isOld(code) ? `${code} ${question}` : code;

/** Lay new answers beside what was entered before. What a person entered always stays. */
export function mergeWritten(
  answers: readonly WrittenAnswer[],
  before: readonly WrittenRow[],
): WrittenRow[] {
  const known = new Map(before.map((row) => [idOf(row), row]));
  const rows = answers.map(({ code, question, answer, formerly = [] }): WrittenRow => {
    const found = [code, ...formerly].flatMap(
      (one) => known.get(idOf({ code: one, question })) ?? [],
    );
    const isSame = (row: WrittenRow) => hasMarks(row) && plain(row.answer) === plain(answer);
    const old = found.find(isSame) ?? found.find(hasEntry) ?? found[0];
    for (const row of found) if (row === old || !hasMarks(row)) known.delete(idOf(row));
    const fresh = { code, question, answer, points: '', ticks: [], remark: '', note: '' };
    if (!old) return fresh;
    const { points, ticks, remark } = old;
    const isChanged = hasMarks(old) && plain(old.answer) !== plain(answer);
    const note = isChanged || (hasMarks(old) && old.note === changed) ? changed : '';
    return { ...fresh, points, ticks, remark, note };
  });
  const others = [...known.values()].filter(hasEntry).map((row) => ({ ...row, note: gone }));
  const order = (a: WrittenRow, b: WrittenRow) =>
    a.question === b.question ? (a.code < b.code ? -1 : 1) : a.question < b.question ? -1 : 1;
  return [...rows, ...others].sort(order);
}

/** Spreadsheets change line ends; the apostrophe before a formula is ours. */
const plain = (text: string) => text.replace(/^'/, '').replace(/\s+/g, ' ').trim();

/** A number as text where a spreadsheet should take it for one. */
const asEntered = (text: string) =>
  text !== '' && Number.isFinite(Number(text)) ? Number(text) : text;

/** The table as CSV: each answer, the lines of its mark scheme to be ticked or points to be entered, a remark. */
export function writeWrittenTable(rows: readonly WrittenRow[], key: AnyKey): string {
  const schemeOf = (question: string): Scheme => key.schemes[question] ?? [];
  const full = new Map(key.sheet.questions.map(({ id, marks }) => [id, marks]));
  const lines = Math.max(
    ...Object.values(key.schemes).map(({ length }) => length),
    ...rows.map(({ ticks }) => ticks.length),
  );
  const tickColumns = Array.from({ length: lines }, (_, i) => tickColumn(i));
  return writeCsv([
    [...columns.slice(0, 3), 'mark scheme', ...tickColumns, 'points', 'out of', 'remark', 'note'],
    ...rows.map(({ code, question, points, ticks, answer, remark, note }) => [
      code,
      question,
      unled(answer),
      schemeOf(question)
        .map(
          ({ marks, point, half }, i) => `${i + 1}. ${point} (${marks}${half ? ', or half' : ''})`,
        )
        .join('\n'),
      ...tickColumns.map((_, i) => asEntered(ticks[i] ?? '')),
      asEntered(points),
      full.get(question) ?? '',
      remark,
      note,
    ]),
  ]);
}
