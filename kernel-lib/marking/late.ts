import { refuseAll, rewriteRows, tableRows } from './csv';
import { writeMoment } from './moment';
import { type MarkRecord, marksOf } from './record';
import { plainText } from './run-report';

/** A round in which a sheet may be handed in again. */
export interface AgainRound {
  /** Its end, ms since 1970. */
  readonly until: number;
  /** Share of what a sheet gives that a return of this round can earn at most, 0…1. */
  readonly cap: number;
}

/** What handing in late costs. */
export interface LateRule {
  /** ms since 1970. */
  readonly deadline: number;
  /** Share of the marks earned that each started day costs, 0…1. */
  readonly perDay: number;
  /** Deduct also by times that are in doubt. */
  readonly believeTimes?: boolean;
  /** Rounds after the deadline, each later than the one before. */
  readonly again?: readonly AgainRound[];
}

/** Days that a student may hand in a sheet later than the deadline says. */
export type ExtraDays = (student: string, sheet: string) => number;

const day = 24 * 3600 * 1000;

/** The round that a return came in, 0 for the first, and how many started days after its end. */
function roundOf(
  time: number | undefined,
  { deadline, again = [] }: LateRule,
  extraDays: number,
): { readonly round: number; readonly days: number } {
  if (time === undefined) return { round: 0, days: 0 };
  const ends = [deadline, ...again.map(({ until }) => until)];
  const after = (end: number) => Math.max(0, Math.ceil((time - end) / day - extraDays));
  const found = ends.findIndex((end) => after(end) === 0);
  const round = found < 0 ? ends.length - 1 : found;
  return { round, days: after(ends[round]) };
}

/**
 * Started days after the deadline; where there are rounds to hand in again, after the end of the last one.
 *
 * @param time of the return, ms since 1970; unknown counts as in time, and the report says so
 * @param extraDays that this student was granted for this sheet
 */
export const daysLate = (time: number | undefined, rule: LateRule, extraDays = 0): number =>
  roundOf(time, rule, extraDays).days;

/**
 * Marks after the deduction, never below 0, to a tenth of a mark.
 *
 * @param most that the return can count, as one of a later round may; without end unless given
 * @example afterDeduction(10, 2, 0.1) // 8
 * @example afterDeduction(10, 0, 0.1, 7.5) // 7.5
 */
export function afterDeduction(
  marks: number,
  days: number,
  perDay: number,
  most = Number.POSITIVE_INFINITY,
): number {
  return Math.round(10 * Math.min(most, marks * Math.max(0, 1 - days * perDay))) / 10;
}

/** What a return earned, and what of that counts. */
export interface Earned {
  readonly marks: number;
  readonly daysLate: number;
  /** After the deduction for days late, to a tenth of a mark. */
  readonly counted: number;
  /** Nothing was deducted, since the time is in doubt: why. */
  readonly held?: string;
  /** Of a later round: which, 2 for the first time again, and how many marks it can count at most. */
  readonly again?: { readonly round: number; readonly most: number };
}

/** @param late nothing is deducted without a rule */
export function earned(
  record: Pick<MarkRecord, 'questions' | 'time' | 'doubt'>,
  late: LateRule | undefined,
  extraDays = 0,
): Earned {
  const marks = marksOf(record);
  const time = record.time === null ? undefined : Date.parse(record.time);
  const { round, days } = late ? roundOf(time, late, extraDays) : { round: 0, days: 0 };
  if ((days > 0 || round > 0) && record.doubt !== undefined && !late?.believeTimes)
    return { marks, daysLate: days, counted: marks, held: record.doubt };
  const outOf = record.questions.reduce((sum, one) => sum + one.outOf, 0);
  const cap = late?.again?.[round - 1]?.cap;
  const most = cap === undefined ? undefined : Math.round(10 * cap * outOf) / 10;
  return {
    ...{ marks, daysLate: days },
    counted: afterDeduction(marks, days, late?.perDay ?? 0, most),
    ...(most === undefined ? {} : { again: { round: round + 1, most } }),
  };
}

/** A line of the table of extra days. */
export interface ExtraLine {
  /** '' for everybody. */
  readonly student: string;
  /** '' for all sheets. */
  readonly sheet: string;
  readonly days: number;
  readonly reason: string;
}

const columns = ['student', 'sheet', 'days', 'reason'] as const;
const head = `\ufeff${columns.join(',')}\n`;

/**
 * Read the table of extra days.
 *
 * @throws RangeError that names every line that cannot be used
 */
export function readExtraDays(
  text: string,
  {
    students,
    sheets,
  }: { readonly students?: ReadonlySet<string>; readonly sheets: readonly string[] },
): ExtraLine[] {
  const problems: string[] = [];
  const seen = new Set<string>();
  const lines = tableRows(text, columns).map(({ where, aside, cell }): ExtraLine => {
    const [student, sheet, said, reason] = columns.map((name) => cell(name).trim());
    const days = Number(said.replace(',', '.'));
    const refuse = (why: string) => problems.push(`${where} ${why}${aside}`);
    if (student === '' && sheet === '') refuse('names neither a student nor a sheet.');
    if (student !== '' && !/^\d{4,10}$/.test(student))
      refuse(
        `has "${student}" as student; 4 to 10 digits were expected, or nothing for everybody.`,
      );
    else if (student !== '' && students && !students.has(student))
      refuse(`has "${student}" as student, who is not in the roster.`);
    if (sheet !== '' && !sheets.includes(sheet))
      refuse(`has "${sheet}" as sheet; there are ${sheets.join(', ')}.`);
    if (said === '' || !(days >= 0 && days <= 366))
      refuse(`has "${said}" as days; a number from 0 to 366 was expected.`);
    if (seen.has(`${student} ${sheet}`)) refuse('speaks of the same again; keep one of the two.');
    seen.add(`${student} ${sheet}`);
    return { student, sheet, days, reason: plainText(reason, 2000) };
  });
  refuseAll(problems, 'No days were granted.');
  return lines;
}

/** The table with a line set, or taken out where `days` is undefined; all other lines stay as they were typed. */
export function withExtraDays(
  text: string,
  { student, sheet, days, reason }: Omit<ExtraLine, 'days'> & { readonly days: number | undefined },
): string {
  const row = days === undefined ? undefined : { student, sheet, days, reason };
  let isThere = false;
  return rewriteRows(
    text,
    head,
    (cell) => {
      if (cell('student').trim() !== student || cell('sheet').trim() !== sheet) return undefined;
      isThere = true;
      return row ?? null;
    },
    () => (row && !isThere ? [row] : []),
  );
}

/**
 * How many days each student has for each sheet. Days of a sheet are everybody's; days of a person come on top of them:
 * those for just this sheet, else those for all sheets, else those of the roster.
 */
export function extraDaysOf(
  roster: readonly { readonly student: string; readonly extraDays: number }[] = [],
  lines: readonly ExtraLine[] = [],
): ExtraDays {
  const inRoster = new Map(roster.map(({ student, extraDays }) => [student, extraDays]));
  const inTable = new Map(lines.map(({ student, sheet, days }) => [`${student} ${sheet}`, days]));
  return (student, sheet) =>
    (inTable.get(` ${sheet}`) ?? 0) +
    (inTable.get(`${student} ${sheet}`) ??
      inTable.get(`${student} `) ??
      inRoster.get(student) ??
      0);
}

/** Such as `Friday 2026-12-04 18:00`, and midnight as the end of the day before. */
function daySaid(time: number, zone: string): string {
  const clock = writeMoment(time, zone).slice(11, 16);
  const shown = clock === '00:00' ? time - 1 : time;
  const weekday = new Intl.DateTimeFormat('en-GB', { weekday: 'long', timeZone: zone });
  const date = `${weekday.format(shown)} ${writeMoment(shown, zone).slice(0, 10)}`;
  return clock === '00:00' ? `the end of ${date}` : `${date} ${clock}`;
}

const percent = (share: number) => `${Math.round(1000 * share) / 10} %`;

/**
 * What a rule comes to, in a sentence with three moments: just in time, on the first day late and on the second.
 *
 * @param zone by whose clocks the moments are told
 */
export function lateSaid(rule: LateRule | undefined, zone: string): string {
  if (!rule) return 'Without a deadline nothing is late.';
  const { deadline, perDay, again = [] } = rule;
  const end = Math.max(deadline, ...again.map(({ until }) => until));
  const first = `Handed in by ${daySaid(deadline, zone)} (${zone}): all marks count.`;
  const rounds = again.map(
    ({ until, cap }) =>
      `Again by ${daySaid(until, zone)}: at most ${percent(cap)} of a sheet’s marks, and the better return counts.`,
  );
  const on = (time: number) => daySaid(time, zone).replace(/^the end/, 'at the end');
  const morning = end + (10 * day) / 24;
  const after =
    perDay === 0
      ? ['Later returns lose nothing more; their days are told.']
      : [morning, morning + day].map(
          (time) =>
            `Handed in ${on(time)}: ${percent(Math.min(1, daysLate(time, rule) * perDay))} off.`,
        );
  return [first, ...rounds, ...after].join(' ');
}
