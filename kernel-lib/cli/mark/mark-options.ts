import { readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { Command, InvalidArgumentError, Option } from 'commander';
import { type Enrolled, readRoster } from '../../marking/roster';

export interface MarkOptions {
  readonly to: string;
  readonly roster?: string;
  readonly jobs: number;
  readonly json?: string;
  readonly sheet?: readonly string[];
  readonly deadline?: number;
  readonly late: number;
  /** Which of several returns of a sheet counts. */
  readonly count: 'latest' | 'best';
  readonly unconfined?: boolean;
  readonly cellSeconds: number;
  readonly sheetSeconds: number;
}

const number = (low: number, high: number, whole: boolean) => (text: string) => {
  const value = Number(text);
  if (!(value >= low && value <= high) || (whole && !Number.isInteger(value)))
    throw new InvalidArgumentError(
      `A ${whole ? 'whole number' : 'number'} from ${low} to ${high} was expected.`,
    );
  return value;
};

function moment(text: string): number {
  const time = Date.parse(text);
  if (Number.isNaN(time) || !/^\d{4}-\d{2}-\d{2}/.test(text))
    throw new InvalidArgumentError(
      'A day and time such as 2026-11-20T23:59+01:00 was expected (without the zone: this machine’s).',
    );
  return time;
}

/** The words of `multislit mark`; what it does comes with `action`. */
export function markWords(
  action: (returns: string, options: MarkOptions) => Promise<void>,
): Command {
  return new Command('mark')
    .description('Mark what a class handed in, with the keys; students’ code runs locked down.')
    .argument('<returns>', 'a folder, a zip, a folder of zips: named and nested in any way')
    .requiredOption('--to <folder>', 'where marks go; a run that was stopped goes on from there')
    .option('--roster <file>', 'CSV with a column "student" and, where wanted, "extra days"')
    .option('--jobs <number>', 'how many at a time', number(1, 64, true), availableParallelism())
    .option('--json <file>', 'write the marks of the class to this file too')
    .option('--sheet <name...>', 'only these sheets; all that have a key unless given')
    .option('--deadline <time>', 'when returns were due', moment)
    .option('--late <percent>', 'what each started day costs, in percent', number(0, 100, false), 0)
    .addOption(
      new Option('--count <which>', 'which counts when a sheet was handed in several times')
        .choices(['latest', 'best'])
        .default('latest'),
    )
    .option('--cell-seconds <number>', 'longest time for a cell', number(0.1, 3600, false), 20)
    .option('--sheet-seconds <number>', 'longest time for a return', number(1, 3600, false), 90)
    .option('--unconfined', 'run students’ code WITHOUT lock-down: only for returns that you trust')
    .addHelpText(
      'after',
      '\nExit code 0: every return is marked or listed with its reason. 1: something else is wrong.',
    )
    .action(action);
}

/** @throws Error that names the file, with what is wrong in it */
export function rosterFrom(file: string): Enrolled[] {
  try {
    return readRoster(readFileSync(file, 'utf8'));
  } catch (error) {
    throw new Error(`The roster ${file} cannot be used: ${(error as Error).message}`);
  }
}
