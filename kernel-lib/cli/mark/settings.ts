import { existsSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { sheetNames } from '../../kernel/sheets';
import { type HandIn, readHandIns } from '../../marking/hand-in-table';
import { type Moment, momentSaid, readMoment } from '../../marking/moment';
import { type Enrolled, readRoster } from '../../marking/roster';
import { writeWhole } from '../files';
import { readFacts } from '../hand-out-facts';
import type { MarkWords } from './mark-options';

const settingsFile = 'settings.json';

/** A table with the file that it came from: read anew as long as that is there. */
interface FromFile<Row> {
  readonly file: string;
  readonly rows: readonly Row[];
}

/** What decides marks besides returns and keys; kept in the folder of marks and used again. */
export interface Settings {
  readonly course?: string;
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
  readonly times?: FromFile<HandIn>;
  /** How the course system writes times into names. */
  readonly timeInNames?: string;
  /** Deduct also by times that are in doubt. */
  readonly believeTimes: boolean;
}

/** The settings of this run, and what a person should be told of them, a sentence each. */
export interface Settled {
  readonly settings: Settings;
  readonly told: readonly string[];
  readonly deadline?: Moment;
}

const none = 'none';

/**
 * The settings of a run: those typed now; else those kept in the folder of marks; else those of the hand-out.
 *
 * @param machineZone the zone that this machine is in
 * @throws Error that names the option or the file, with what is wrong in it
 */
export function settingsFor(words: MarkWords, machineZone: string): Settled {
  const kept = keptIn(words.to);
  const facts = words.handOut === undefined ? undefined : readFacts(words.handOut);
  const zone = words.zone ?? facts?.zone ?? kept?.zone ?? machineZone;
  const typed = (word: string | undefined, ...others: (string | undefined)[]) =>
    word === none ? undefined : (word ?? others.find((one) => one !== undefined));
  const rosterFile = typed(words.roster, kept?.roster?.file);
  const timesFile = typed(words.times, kept?.times?.file);
  const said = typed(words.deadline, facts?.deadline, kept?.deadline);
  const deadline = said === undefined ? undefined : momentOf(said, zone);
  const course = facts?.course ?? kept?.course;
  const timeInNames = typed(words.timeInNames, kept?.timeInNames);
  const chosen = words.sheet?.includes('all')
    ? undefined
    : (words.sheet ?? facts?.sheets ?? kept?.sheets);
  const told: string[] = [];
  const roster = tableOf('roster', rosterFile, kept?.roster, told, readRoster);
  const times = tableOf('table of times', timesFile, kept?.times, told, (text) =>
    readHandIns(text, zone, sheetNames()),
  );
  const settings: Settings = {
    ...(course === undefined ? {} : { course }),
    zone,
    ...(said === undefined ? {} : { deadline: said }),
    late: words.late ?? kept?.late ?? 0,
    ...(chosen === undefined ? {} : { sheets: [...new Set(chosen)].sort() }),
    count: words.count ?? kept?.count ?? 'latest',
    ...(roster ? { roster } : {}),
    ...(times ? { times } : {}),
    ...(timeInNames === undefined ? {} : { timeInNames }),
    believeTimes: words.believeTimes ?? kept?.believeTimes ?? false,
  };
  return {
    settings,
    told: [...told, ...tell(settings, kept, words, deadline)],
    ...(deadline ? { deadline } : {}),
  };
}

export async function keepSettings(folder: string, settings: Settings): Promise<void> {
  const path = join(folder, settingsFile);
  const text = `${JSON.stringify(settings, null, 1)}\n`;
  if (existsSync(path) && readFileSync(path, 'utf8') === text) return;
  await writeWhole(path, text);
}

function keptIn(folder: string): Settings | undefined {
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
    return { file, rows: read(readFileSync(file, 'utf8')) };
  } catch (error) {
    throw new Error(`The ${what} ${path} cannot be used: ${(error as Error).message}`);
  }
}

/** Each setting in words, for comparing and telling. */
function inWords(settings: Settings): Record<string, string> {
  const { deadline, late, sheets, count, roster, times, timeInNames, believeTimes, zone } =
    settings;
  const moment = deadline === undefined ? undefined : readMoment(deadline, zone);
  return {
    deadline: moment ? momentSaid(moment) : none,
    late: `${late} % for each started day`,
    sheets: sheets?.join(', ') ?? 'all',
    counts: `the ${count}`,
    roster: roster ? `${roster.file} (${roster.rows.length} students)` : none,
    times: times ? `${times.file} (${times.rows.length} times)` : none,
    'times in names': timeInNames ?? none,
    'times in doubt': believeTimes ? 'believed' : 'not believed',
    zone,
  };
}

function tell(
  settings: Settings,
  kept: Settings | undefined,
  words: MarkWords,
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
    deadline: words.deadline !== undefined,
    late: words.late !== undefined,
    sheets: words.sheet !== undefined,
    counts: words.count !== undefined,
    roster: words.roster !== undefined,
    times: words.times !== undefined,
    'times in names': words.timeInNames !== undefined,
    'times in doubt': words.believeTimes !== undefined,
    zone: words.zone !== undefined,
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
  if (deadline?.zone !== undefined && words.deadline !== undefined)
    told.push(
      `Due: ${momentSaid(deadline)}${words.zone === undefined ? '; no zone was typed, this one was taken' : ''}.`,
    );
  return told;
}
