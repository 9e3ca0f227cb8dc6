import { availableParallelism } from 'node:os';
import { Command, InvalidArgumentError, Option } from 'commander';
import type { MarkArguments } from '../marker/settings';
import { timeInName } from '../marking/hand-in-time';
import { knownZone, readMoment } from '../marking/moment';

/** `multislit mark RETURNS --to FOLDER`: every return marked or listed with its reason. */
export function markCommand(): Command {
  return new Command('mark')
    .description('Mark what a class handed in, with the keys; students’ code runs locked down.')
    .argument('<returns>', 'a folder, a zip, a folder of zips: named and nested in any way')
    .requiredOption('--to <folder>', 'where marks go; a run that was stopped goes on from there')
    .option('--hand-out <path>', 'the hand-out’s folder or zip: its deadline and its sheets count')
    .option('--roster <file>', 'CSV with a column "student" and, where wanted, "extra days"')
    .option(
      '--roster-columns <column...>',
      'what the roster calls its columns where they are not recognised, such as student=Number name="Full name"',
    )
    .option('--sheet <name...>', 'only these sheets; all that have a key unless given')
    .option('--deadline <time>', 'when returns were due; a day means its end', momentArgument)
    .option(
      '--zone <name>',
      'your time zone, such as Europe/Berlin; this machine’s unless given',
      zoneName,
    )
    .option(
      '--late <percent>',
      'what each started day costs, in percent; 0 unless given',
      number(0, 100, false),
    )
    .addOption(
      new Option(
        '--count <which>',
        'which counts when a sheet was handed in several times; the latest unless given',
      ).choices(['latest', 'best']),
    )
    .option(
      '--again <round...>',
      'until when sheets may be handed in again after the deadline, and what percent such a return can earn at most, such as 2026-12-18=80; the better return counts',
    )
    .option('--groups', 'take several numbers joined by + in a name for a group: 204117+300007')
    .option('--no-groups', 'do not (so it is unless said)')
    .addOption(
      new Option(
        '--solutions <when>',
        'model answers with each student’s own numbers: none, after everybody’s last day, or now',
      ).choices(['none', 'after', 'now']),
    )
    .option('--look', 'mark nothing: only list what came in, in FOLDER/came-in.csv')
    .option(
      '--times <file>',
      'when returns came, as the course system says: CSV student, sheet, time',
    )
    .option(
      '--time-in-names <pattern>',
      'how times stand in names of files, such as YYYY-MM-DD_hh-mm',
      patternArgument,
    )
    .option('--believe-times', 'deduct for days late also where the time is in doubt')
    .option('--no-believe-times', 'do not (so it is unless said)')
    .option('--jobs <number>', 'how many at a time', number(1, 64, true), availableParallelism())
    .option('--json <file>', 'write the marks of the class to this file too')
    .option('--cell-seconds <number>', 'longest time for a cell', number(0.1, 3600, false), 20)
    .option('--sheet-seconds <number>', 'longest time for a return', number(1, 3600, false), 90)
    .option('--unconfined', 'run students’ code WITHOUT lock-down: only for returns that you trust')
    .addHelpText(
      'after',
      `
Deadline, zone, lateness, rounds, sheets, which counts, groups, roster and times are kept in FOLDER/settings.json and used again; what
you give anew is told. "none" takes one away again (--deadline none), "all" the choice of sheets. Days granted to a person
or for a sheet stand in FOLDER/extra-days.csv: student,sheet,days,reason.

When a return came is told by the table of --times, else by the name (--time-in-names), else by the stamp that the
class's own archive keeps, else by the file's. returns.csv says which. A stamp in an archive that a student packed never
counts. Times in doubt (a fresh download, the future, stamps that disagree) are told, and cost nothing until you give
--times or --believe-times.

Exit code 0: every return is marked or listed with its reason. 1: something else is wrong.`,
    )
    .action(async (returns: string, typed: MarkArguments) => {
      // Loaded only here: it brings a compiler along, for which the other commands would wait.
      const { markReturns } = await import('../marker/mark-returns');
      await markReturns(returns, typed);
    });
}

const number = (low: number, high: number, whole: boolean) => (text: string) => {
  const value = Number(text);
  if (!(value >= low && value <= high) || (whole && !Number.isInteger(value)))
    throw new InvalidArgumentError(
      `A ${whole ? 'whole number' : 'number'} from ${low} to ${high} was expected.`,
    );
  return value;
};

/** A time zone by its name, for an option. */
export function zoneName(text: string): string {
  const zone = knownZone(text);
  if (zone === undefined)
    throw new InvalidArgumentError('The name of a time zone such as Europe/Berlin was expected.');
  return zone;
}

/** A moment as it is typed; in which zone it is meant is told later. */
export function momentArgument(text: string): string {
  if (text === 'none' || readMoment(text, 'UTC')) return text.trim();
  throw new InvalidArgumentError(
    'A day such as 2026-12-04, which means its end, or a day and time such as 2026-12-04T18:00+01:00, was expected.',
  );
}

function patternArgument(text: string): string {
  if (text === 'none') return text;
  try {
    timeInName(text);
    return text;
  } catch (error) {
    throw new InvalidArgumentError((error as Error).message);
  }
}
