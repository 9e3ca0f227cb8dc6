import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import type { ClassData, SheetOfStudent } from '../../../kernel-lib/marking/class-data';
import { keyOf } from '../class-for-test';
import { type ClassTruth, latePercent, type ReturnTruth } from './truth';

export interface Compared {
  readonly returns: number;
  readonly questions: number;
  readonly slips: number;
  readonly files: number;
  readonly differences: readonly string[];
}

const table = (file: string): Record<string, string>[] =>
  parse(readFileSync(file, 'utf8'), { columns: true, bom: true });

/** Compare what marking wrote into a folder with the truth: every question of every return, every file. */
export function compareWithTruth(folder: string, truth: ClassTruth): Compared {
  const text = readFileSync(join(folder, 'class.json'), 'utf8');
  const data = JSON.parse(text) as ClassData & {
    alike: { sheet: string; students: string[] }[];
  };
  const differences: string[] = [];
  const same = (what: string, got: unknown, due: unknown) => {
    if (JSON.stringify(got) !== JSON.stringify(due))
      differences.push(`${what}: ${JSON.stringify(got)} in place of ${JSON.stringify(due)}`);
  };
  let questions = 0;
  let slips = 0;
  const sheets = data.sheets.map(({ sheet }) => sheet);
  const numbers = data.students.map(({ student }) => student);
  same(
    'the students',
    numbers,
    truth.roster.map(({ student }) => student),
  );
  for (const { student, total, sheets: own, missing } of data.students) {
    const due = sheets.flatMap((sheet) => truth.returns.get(`${sheet} ${student}`) ?? []);
    same(
      `${student}: returns`,
      own.map(({ sheet }) => sheet),
      due.map(({ sheet }) => sheet),
    );
    const lacking = sheets.filter((sheet) => !truth.returns.has(`${sheet} ${student}`));
    same(`${student}: missing`, missing, lacking);
    const counted = due.reduce((sum, one) => sum + countedMarks(one), 0);
    same(`${student}: total`, total, Math.round(10 * counted) / 10);
    for (const one of due) {
      const got = own.find(({ sheet }) => sheet === one.sheet);
      if (got) compareReturn(got, one);
    }
  }

  function compareReturn(got: SheetOfStudent, due: ReturnTruth): void {
    const what = `${due.sheet} ${due.student}`;
    same(`${what}: file`, got.path, due.path);
    same(`${what}: days late`, got.daysLate, due.daysLate);
    same(`${what}: counted`, got.counted, countedMarks(due));
    same(`${what}: note`, got.note !== undefined, due.isNoted);
    same(`${what}: failure`, got.failure, undefined);
    same(
      `${what}: questions`,
      got.questions.map(({ question }) => question),
      Object.keys(due.questions),
    );
    for (const { question, state, marks, slip, message, follows, fault } of got.questions) {
      const { hint = '', says = '', ...rest } = due.questions[question] ?? {};
      questions += 1;
      if (slip !== undefined) slips += 1;
      const said = { state, marks, slip, follows, fault: fault?.is };
      const expected = { slip: undefined, follows: undefined, fault: undefined, ...rest };
      same(`${what} ${question} (${message})`, inOneOrder(said), inOneOrder(expected));
      if (!message.includes(says)) same(`${what} ${question}: what is said`, message, says);
      if (slip === rest.slip && !message.endsWith(hint))
        same(`${what} ${question}: hint`, message, hint);
    }
  }

  for (const { sheet, questions: asked, returns } of data.sheets) {
    const own = [...truth.returns.values()].filter((one) => one.sheet === sheet);
    same(`${sheet}: returns`, returns, own.length);
    const full = new Map(keyOf(sheet).sheet.questions.map(({ id, marks }) => [id, marks]));
    for (const { question, facility } of asked) {
      const sum = own.reduce((all, one) => all + one.questions[question].marks, 0);
      const mean = sum / own.length / (full.get(question) ?? Number.NaN);
      if (!(Math.abs(facility - mean) < 1e-9)) same(`${question}: facility`, facility, mean);
    }
  }

  const outcomes = table(join(folder, 'returns.csv')).map(
    ({ path, outcome }) => `${path}: ${outcome}`,
  );
  const due = [
    ...[...truth.returns.values()].map(({ path }) => `${path}: marked`),
    ...[...truth.aside].map(([path, outcome]) => `${path}: ${outcome}`),
  ];
  const [got, files] = [outcomes.sort(), due.sort()];
  for (const line of files) if (!got.includes(line)) differences.push(`no such outcome: ${line}`);
  for (const line of got) if (!files.includes(line)) differences.push(`unasked outcome: ${line}`);
  same('files', got.length, files.length);

  for (const { student, ...row } of table(join(folder, 'marks.csv')))
    for (const sheet of sheets) {
      const one = truth.returns.get(`${sheet} ${student}`);
      same(`marks.csv: ${sheet} ${student}`, row[sheet], one ? String(countedMarks(one)) : '');
    }
  for (const pair of truth.copied) {
    const [sheet, ...students] = pair.split(' ');
    const isTold = data.alike.some(
      (one) => one.sheet === sheet && students.every((student) => one.students.includes(student)),
    );
    if (!isTold) differences.push(`not told as alike: ${pair}`);
  }
  return { returns: truth.returns.size, questions, slips, files: files.length, differences };
}

const inOneOrder = (one: object) => Object.entries(one).sort(([a], [b]) => (a < b ? -1 : 1));

/** Marks after the deduction: each started day takes its share of what was earned, to a tenth of a mark. */
function countedMarks({ questions, daysLate }: ReturnTruth): number {
  const earned = Object.values(questions).reduce((sum, { marks }) => sum + marks, 0);
  return Math.round((10 * earned * Math.max(0, 100 - daysLate * latePercent)) / 100) / 10;
}
