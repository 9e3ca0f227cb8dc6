import { existsSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { writeWhole } from '../kernel/files';
import { sheetNames } from '../kernel/sheets';
import { tableText } from '../marking/csv';
import type { FoundReturn } from '../marking/found-return';
import { type HandIn, readHandIns, type TimeRules, timeInName } from '../marking/hand-in-time';
import type { AgainRound, ExtraLine } from '../marking/late';
import { type Moment, momentSaid, readMoment } from '../marking/moment';
import { type Enrolled, type RosterColumns, readRoster, rosterKinds } from '../marking/roster';
import { readFacts } from './hand-out-facts';

/** The options of `multislit mark` as they were typed. What decides marks is `undefined` where nothing was: then it is as it was kept. */
export interface MarkArguments {
  readonly to: string;
  readonly handOut?: string;
  readonly roster?: string;
  /** Such as `student=Number`; `none` for as they are recognised. */
  readonly rosterColumns?: readonly string[];
  readonly sheet?: readonly string[];
  readonly deadline?: string;
  readonly zone?: string;
  readonly late?: number;
  readonly count?: 'latest' | 'best';
  /** Such as `2026-12-18=80`; `none` for no round. */
  readonly again?: readonly string[];
  readonly groups?: boolean;
  readonly solutions?: Solutions;
  /** Only say what came in. */
  readonly look?: boolean;
  readonly times?: string;
  readonly timeInNames?: string;
  readonly believeTimes?: boolean;
  readonly jobs: number;
  readonly json?: string;
  readonly unconfined?: boolean;
  readonly cellSeconds: number;
  readonly sheetSeconds: number;
}

/** What the parts of marking go by. */
export interface MarkOptions {
  readonly to: string;
  readonly json?: string;
  readonly course?: string;
  /** ms since 1970. */
  readonly deadline?: number;
  /** What each started day costs, in percent. */
  readonly late: number;
  /** Which of several returns of a sheet counts. */
  readonly count: 'latest' | 'best';
  /** Deduct also by times that are in doubt. */
  readonly believeTimes: boolean;
  /** Rounds in which sheets may be handed in again. */
  readonly again: readonly AgainRound[];
  /** Days that were granted in the folder of marks. */
  readonly extra: readonly ExtraLine[];
  /** Model answers go to the students now. */
  readonly solutions: boolean;
  /** The instructor's time zone. */
  readonly zone: string;
}

/** When students get model answers with their own numbers: never, when nobody can hand in any more, or at once. */
export type Solutions = 'none' | 'after' | 'now';

const settingsFile = 'settings.json';

/** A table with the file that it came from: read anew as long as that is there. */
interface FromFile<Row> {
  readonly file: string;
  readonly rows: readonly Row[];
}

/** What decides marks besides returns and keys; kept in the folder of marks and used again. */
export interface Settings {
  readonly course?: string;
  /** Where the returns lay that were marked last. */
  readonly returns?: string;
  /** The instructor's time zone. */
  readonly zone: string;
  /** As it was typed. */
  readonly deadline?: string;
  /** What each started day costs, in percent. */
  readonly late: number;
  /** Only these sheets; all that have a key unless given. */
  readonly sheets?: readonly string[];
  /** Which of several returns of a sheet counts. */
  readonly count: 'latest' | 'best';
  readonly roster?: FromFile<Enrolled>;
  /** What columns of the roster are called, where they are not recognised. */
  readonly rosterColumns?: RosterColumns;
  /** Rounds to hand in again, as they were typed. */
  readonly again?: readonly string[];
  /** Students may hand in together. */
  readonly groups?: boolean;
  readonly solutions?: Solutions;
  readonly times?: FromFile<HandIn>;
  /** How the course system writes times into names. */
  readonly timeInNames?: string;
  /** Deduct also by times that are in doubt. */
  readonly believeTimes: boolean;
}

/** The settings of this run, and what a person should be told of them, a sentence each. */
interface Settled {
  readonly settings: Settings;
  readonly told: readonly string[];
  readonly deadline?: Moment;
  readonly again: readonly AgainRound[];
}

const none = 'none';

/**
 * The settings of a run: those typed now; else those kept in the folder of marks; else those of the hand-out.
 *
 * @param machineZone the zone that this machine is in
 * @throws Error that names the option or the file, with what is wrong in it
 */
export function settingsFor(args: MarkArguments, machineZone: string): Settled {
  const kept = keptIn(args.to);
  const facts = args.handOut === undefined ? undefined : readFacts(args.handOut);
  const zone = args.zone ?? facts?.zone ?? kept?.zone ?? machineZone;
  const typed = (word: string | undefined, ...others: (string | undefined)[]) =>
    word === none ? undefined : (word ?? others.find((one) => one !== undefined));
  const rosterFile = typed(args.roster, kept?.roster?.file);
  const timesFile = typed(args.times, kept?.times?.file);
  const said = typed(args.deadline, facts?.deadline, kept?.deadline);
  const deadline = said === undefined ? undefined : momentOf(said, zone);
  const course = facts?.course ?? kept?.course;
  const timeInNames = typed(args.timeInNames, kept?.timeInNames);
  const chosen = args.sheet?.includes('all')
    ? undefined
    : (args.sheet ?? facts?.sheets ?? kept?.sheets);
  const told: string[] = [];
  const rosterColumns = args.rosterColumns ? columnsTyped(args.rosterColumns) : kept?.rosterColumns;
  const isNewList = rosterFile !== undefined && resolve(rosterFile) !== kept?.roster?.file;
  const columns = isNewList && !args.rosterColumns ? {} : (rosterColumns ?? {});
  const roster = tableOf('roster', rosterFile, kept?.roster, told, (text) =>
    readRoster(text, columns),
  );
  const againSaid = args.again?.includes(none) ? [] : (args.again ?? kept?.again ?? []);
  const again = roundsOf(againSaid, deadline, zone);
  const count = args.count ?? (args.again && again.length > 0 ? 'best' : (kept?.count ?? 'latest'));
  if (again.length > 0 && count !== 'best')
    throw new Error(
      'Where sheets may be handed in again (--again), the better return counts: leave --count latest out, or say --again none.',
    );
  const groups = args.groups ?? kept?.groups ?? false;
  const solutions = args.solutions ?? kept?.solutions ?? 'none';
  const times = tableOf('table of times', timesFile, kept?.times, told, (text) =>
    readHandIns(text, zone, sheetNames()),
  );
  const settings: Settings = {
    ...(course === undefined ? {} : { course }),
    zone,
    ...(said === undefined ? {} : { deadline: said }),
    late: args.late ?? kept?.late ?? 0,
    ...(chosen === undefined ? {} : { sheets: [...new Set(chosen)].sort() }),
    count,
    ...(againSaid.length > 0 ? { again: againSaid } : {}),
    ...(groups ? { groups } : {}),
    ...(solutions === 'none' ? {} : { solutions }),
    ...(roster ? { roster } : {}),
    ...(Object.keys(columns).length > 0 ? { rosterColumns: columns } : {}),
    ...(times ? { times } : {}),
    ...(timeInNames === undefined ? {} : { timeInNames }),
    believeTimes: args.believeTimes ?? kept?.believeTimes ?? false,
  };
  return {
    settings,
    told: [...told, ...tell(settings, kept, args, deadline)],
    ...(deadline ? { deadline } : {}),
    again,
  };
}

/** Words such as `name=Full name`. */
function columnsTyped(words: readonly string[]): RosterColumns {
  if (words.includes(none)) return {};
  return Object.fromEntries(
    words.map((word) => {
      const [, kind = '', name = ''] = /^([^=]*)=(.+)$/.exec(word) ?? [];
      const known = rosterKinds.find((one) => one === kind.trim().toLowerCase());
      if (known && name.trim() !== '') return [known, name.trim()];
      throw new Error(
        `--roster-columns ${word}: one of ${rosterKinds.join(', ')}, "=" and what the roster calls it was expected, such as student=Number.`,
      );
    }),
  );
}

/** @throws Error that names the round that cannot be, with what was expected */
function roundsOf(
  words: readonly string[],
  deadline: Moment | undefined,
  zone: string,
): AgainRound[] {
  if (words.length > 0 && !deadline)
    throw new Error(
      'A round to hand in again (--again) begins at the deadline: give one (--deadline or --hand-out).',
    );
  let before = deadline?.time ?? 0;
  return words.map((word) => {
    const [, said = '', percent = ''] = /^(.*)=\s*(\d+(?:\.\d+)?)\s*%?$/.exec(word) ?? [];
    const moment = readMoment(said, zone);
    const cap = Number(percent) / 100;
    if (!moment || percent === '' || cap > 1)
      throw new Error(
        `--again ${word}: a time, "=" and the percent of a sheet’s marks that such a return can earn was expected, such as 2026-12-18=80.`,
      );
    if (moment.time <= before)
      throw new Error(
        `--again ${word}: this round ends before it begins, at the end of the one before it.`,
      );
    before = moment.time;
    return { until: moment.time, cap };
  });
}

export async function keepSettings(folder: string, settings: Settings): Promise<void> {
  const path = join(folder, settingsFile);
  const text = `${JSON.stringify(settings, null, 1)}\n`;
  if (existsSync(path) && readFileSync(path, 'utf8') === text) return;
  await writeWhole(path, text);
}

/** The settings that a folder of marks keeps; undefined where it has none. */
export function keptIn(folder: string): Settings | undefined {
  const path = join(folder, settingsFile);
  if (!existsSync(path)) return undefined;
  const mend = 'Mend it, or remove it and give all options again.';
  try {
    const kept = JSON.parse(readFileSync(path, 'utf8')) as Settings;
    const isSound =
      typeof kept.zone === 'string' &&
      typeof kept.late === 'number' &&
      /^(?:latest|best)$/.test(kept.count);
    if (isSound) return kept;
  } catch (error) {
    throw new Error(`${path} cannot be read (${(error as Error).message}). ${mend}`);
  }
  throw new Error(`${path} is not as it was written. ${mend}`);
}

function momentOf(said: string, zone: string): Moment {
  const moment = readMoment(said, zone);
  if (moment) return moment;
  throw new Error(
    `The deadline "${said}" is no time; a day such as 2026-12-04, or a day and time such as 2026-12-04T18:00+01:00, was expected.`,
  );
}

/** A table as it now stands in its file; as it was kept where the file is gone. */
function tableOf<Row>(
  what: string,
  path: string | undefined,
  kept: FromFile<Row> | undefined,
  told: string[],
  read: (text: string) => Row[],
): FromFile<Row> | undefined {
  if (path === undefined) return undefined;
  const file = resolve(path);
  if (kept?.file === file && !existsSync(file)) {
    told.push(`The ${what} ${file} is no longer there; what stood in it is used as it was kept.`);
    return kept;
  }
  try {
    return { file, rows: read(tableText(readFileSync(file))) };
  } catch (error) {
    throw new Error(`The ${what} ${path} cannot be used: ${(error as Error).message}`);
  }
}

/** Each setting in words, for comparing and telling. */
function inWords(settings: Settings): Record<string, string> {
  const { deadline, late, sheets, count, roster, times, timeInNames, believeTimes, zone } =
    settings;
  const { rosterColumns = {}, again = [], groups = false, solutions = 'none' } = settings;
  const moment = deadline === undefined ? undefined : readMoment(deadline, zone);
  return {
    deadline: moment ? momentSaid(moment) : none,
    late: `${late} % for each started day`,
    sheets: sheets?.join(', ') ?? 'all',
    counts: `the ${count}`,
    roster: roster ? `${roster.file} (${roster.rows.length} students)` : none,
    times: times ? `${times.file} (${times.rows.length} times)` : none,
    'columns of the roster':
      Object.entries(rosterColumns)
        .map(([kind, name]) => `${kind}=${name}`)
        .join(', ') || 'as they are recognised',
    again: again.length === 0 ? none : again.map((one) => `${one} %`).join(', '),
    groups: groups ? 'numbers joined by + in a name' : none,
    'model answers': solutionsSaid[solutions],
    'times in names': timeInNames ?? none,
    'times in doubt': believeTimes ? 'believed' : 'not believed',
    zone,
  };
}

const solutionsSaid: Record<Solutions, string> = {
  none: 'not given',
  after: 'given when nobody can hand in any more',
  now: 'given at once',
};

function tell(
  settings: Settings,
  kept: Settings | undefined,
  args: MarkArguments,
  deadline: Moment | undefined,
): string[] {
  const now = inWords(settings);
  const was = kept && inWords(kept);
  const told = Object.entries(now).flatMap(([name, is]) =>
    was && was[name] !== is ? [`Changed since the last run: ${name}: ${was[name]} → ${is}.`] : [],
  );
  if (was && JSON.stringify(kept?.roster?.rows) !== JSON.stringify(settings.roster?.rows))
    if (was.roster === now.roster)
      told.push('Changed since the last run: what stands in the roster.');
  const isTyped: Record<string, boolean> = {
    deadline: args.deadline !== undefined,
    late: args.late !== undefined,
    sheets: args.sheet !== undefined,
    counts: args.count !== undefined,
    roster: args.roster !== undefined,
    times: args.times !== undefined,
    'columns of the roster': args.rosterColumns !== undefined,
    again: args.again !== undefined,
    groups: args.groups !== undefined,
    'model answers': args.solutions !== undefined,
    'times in names': args.timeInNames !== undefined,
    'times in doubt': args.believeTimes !== undefined,
    zone: args.zone !== undefined,
  };
  const usual = inWords({ zone: settings.zone, late: 0, count: 'latest', believeTimes: false });
  const again = Object.entries(now).filter(
    ([name, is]) => was?.[name] === is && !isTyped[name] && is !== usual[name],
  );
  if (again.length > 0)
    told.push(`As before: ${again.map(([name, is]) => `${name}: ${is}`).join('; ')}.`);
  if (settings.late > 0 && !deadline)
    told.push(
      'There is no deadline (--deadline or --hand-out), so nothing is deducted for days late.',
    );
  if (deadline?.zone !== undefined && args.deadline !== undefined)
    told.push(
      `Due: ${momentSaid(deadline)}${args.zone === undefined ? '; no zone was typed, this one was taken' : ''}.`,
    );
  return told;
}

/** How times of handing in are told in this run. */
export const timeRules = ({ zone, times, timeInNames }: Settings): TimeRules => ({
  table: times?.rows ?? [],
  zone,
  now: Date.now(),
  ...(timeInNames === undefined ? {} : { inName: timeInName(timeInNames) }),
});

/** From this many returns on, a deadline that all of them miss is rather a wrong deadline. */
const fewest = 3;

/** Where every return would be late, each time is in doubt: the deadline may be of another year. */
export function withAllLate(
  found: readonly FoundReturn[],
  { deadline }: Pick<MarkOptions, 'deadline'>,
): FoundReturn[] {
  const isLate = ({ time }: FoundReturn) => deadline !== undefined && (time ?? 0) > deadline;
  if (found.length < fewest || !found.every(isLate)) return [...found];
  const doubt = 'Every return would be late: is the deadline the right one?';
  return found.map((one) => (one.doubt === undefined ? { ...one, doubt } : one));
}
