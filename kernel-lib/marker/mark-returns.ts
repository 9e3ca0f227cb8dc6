import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  statSync,
} from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { endAllProcesses } from '../confined/line-process';
import { type Confinement, createStage, lockDown, openConfinement } from '../confined/walls';
import { requireWritable } from '../kernel/files';
import {
  chooseReturns,
  earlierToCompare,
  returnsToCompare,
  withWorseFlags,
} from '../marking/choose';
import { tableRows } from '../marking/csv';
import { clockSaid } from '../marking/moment';
import { cameInFile } from '../marking/report/tables';
import { gatherReturns } from './gather-returns';
import { keptFiles } from './kept-files';
import { markAll, tellParent } from './mark-all';
import { ownersIn } from './owners-in';
import type { MarkArguments, MarkOptions, Settings } from './settings';
import { keepSettings, settingsFor, timeRules, withAllLate } from './settings';
import { changedByHand, extraDaysIn, latenessOf } from './settle';
import type { ToMark } from './sheets-to-mark';
import { sheetsToMark } from './sheets-to-mark';
import { recordsIn } from './store';
import { writeCameIn, writeClass } from './write-class';
import { writtenByHand } from './written-by-hand';

/** Mark all that came back, or list it with its reason. */
export async function markReturns(returns: string, args: MarkArguments): Promise<void> {
  requireApart(returns, args.to);
  // Marks, codes and records are nobody else's: 0600 and 0700 for all that is made from here on.
  process.umask(0o077);
  if (args.json !== undefined) requireWritable(args.json);
  const { settings, told, deadline, again } = settingsFor(args, machineZone());
  const { late, count, believeTimes, zone, course, groups = false } = settings;
  const roster = settings.roster?.rows;
  const numbers = roster && new Set(roster.map(({ student }) => student));
  const extra = extraDaysIn(args.to, numbers);
  const gate = solutionsNow(settings, deadline?.time, again, extra);
  const options: MarkOptions = {
    ...{ to: args.to, late, count, believeTimes, zone, again, extra },
    solutions: gate.isOpen,
    ...(course === undefined ? {} : { course }),
    ...(args.json === undefined ? {} : { json: args.json }),
    ...(deadline ? { deadline: deadline.time } : {}),
  };
  const sheets = sheetsToMark(settings.sheets ?? []);
  const kept = keptFiles();
  process.once('exit', kept.remove);
  const owners = ownersIn(args.to, numbers);
  const rules = {
    ...timeRules(settings),
    sheets,
    roster: numbers,
    keep: kept.keep,
    owners,
    groups,
  };
  const { found: came, notMarked } = gatherReturns(returns, rules);
  if (came.length + notMarked.length === 0) requireNoneBefore(args.to, returns);
  const found = withAllLate(came, options);
  const { counted, passedOver } =
    count === 'best' ? returnsToCompare(found, latenessOf(options, roster)) : chooseReturns(found);
  if (closeFolder(options.to))
    console.error(`${options.to} was open to other accounts of this machine; it is closed now.`);
  removeHalfWritten(options.to);
  if (args.look) {
    for (const sentence of told) console.log(sentence);
    await keepSettings(options.to, { ...settings, returns: resolve(returns) });
    writeCameIn(options.to, zone, { found, counted, notMarked, passedOver });
    const waits = `${found.length} returns, ${notMarked.length} other files`;
    console.log(`${waits}: ${join(options.to, cameInFile)} lists each. Nothing was marked.`);
    kept.remove();
    return;
  }
  const changes = await changedByHand(options.to, sheets, counted, numbers);
  const written = await writtenByHand(options.to, sheets, counted);
  for (const sentence of [...told, ...gate.told]) console.log(sentence);
  await keepSettings(options.to, { ...settings, returns: resolve(returns) });

  const stage = createStage();
  const stop = () => {
    endAllProcesses();
    stage.remove();
    console.error('\nStopped. Start the same command again to go on.');
    process.exit(130);
  };
  // A program that started this one and listens to it has gone when it hangs up.
  process.once('SIGINT', stop).once('SIGTERM', stop).once('disconnect', stop);
  try {
    const confinement: Confinement = args.unconfined
      ? await openConfinement(stage)
      : await lockDown(stage);
    if (args.unconfined)
      console.error('Students’ code runs WITHOUT lock-down, as --unconfined asks.');
    tellParent({ lockDown: confinement.kind });
    const limits = { cell: 1000 * args.cellSeconds, sheet: 1000 * args.sheetSeconds };
    const { jobs } = args;
    const toMark = (list: typeof found): ToMark[] =>
      list.flatMap((one) => {
        const sheet = sheets.get(one.sheet);
        return sheet ? [{ found: one, sheet }] : [];
      });
    // Earlier returns do not count, but one that was much better is told beside the later one.
    const earlier = count === 'latest' ? earlierToCompare(found, counted) : [];
    const byText = recordsIn(options.to, 'best');
    const before = await markAll(toMark(earlier), options.to, byText, confinement, {
      ...{ jobs, limits, count: 'best', quiet: true, kept },
    });
    const store = recordsIn(options.to, count);
    const all = toMark(counted);
    const marked = await markAll(all, options.to, store, confinement, {
      ...{ jobs, limits, count, kept },
    });
    await writeClass(options, {
      toMark: all,
      found,
      store,
      sheets,
      roster,
      marked: { ...marked, records: withWorseFlags(marked.records, before.records) },
      notMarked,
      passedOver,
      counted,
      changes,
      written,
      confinement: confinement.kind,
    });
    if (marked.broken.length > 0) process.exitCode = 1;
  } finally {
    endAllProcesses();
    stage.remove();
    kept.remove();
    process.off('exit', kept.remove);
    process.off('SIGINT', stop).off('SIGTERM', stop).off('disconnect', stop);
  }
}

/** A drive that is not there looks like an empty folder: it must not empty the marks of a class. */
function requireNoneBefore(to: string, returns: string): void {
  const file = join(to, 'returns.csv');
  const before = existsSync(file) ? tableRows(readFileSync(file, 'utf8'), ['path']).length : 0;
  if (before > 0)
    throw new Error(
      `${returns} is empty, and ${before} files were there when it was last marked. Is the drive there? All marks stand as they were. To begin anew, name another folder for the marks.`,
    );
}

/** Whether model answers are given by now, and what a person should be told of it. */
function solutionsNow(
  { solutions = 'none', roster, zone }: Settings,
  deadline: number | undefined,
  again: MarkOptions['again'],
  extra: MarkOptions['extra'],
): { readonly isOpen: boolean; readonly told: readonly string[] } {
  if (solutions !== 'after') return { isOpen: solutions === 'now', told: [] };
  if (deadline === undefined)
    return { isOpen: false, told: ['There is no deadline, so model answers are not given.'] };
  const most = (days: readonly number[]) => Math.max(0, ...days);
  const ofSheets = most(extra.filter(({ student }) => student === '').map(({ days }) => days));
  const ofPeople = most([
    ...extra.filter(({ student }) => student !== '').map(({ days }) => days),
    ...(roster?.rows.map(({ extraDays }) => extraDays) ?? []),
  ]);
  const last = most([deadline, ...again.map(({ until }) => until)]);
  const from = last + (ofSheets + ofPeople) * 24 * 3600 * 1000;
  if (Date.now() > from) return { isOpen: true, told: [] };
  const when = clockSaid(from, zone);
  return {
    isOpen: false,
    told: [`Model answers are given from ${when} on, when nobody can hand in any more.`],
  };
}

const machineZone = () => new Intl.DateTimeFormat().resolvedOptions().timeZone;

/** Where a path leads, links followed as far as it is there. */
function real(path: string): string {
  const whole = resolve(path);
  if (existsSync(whole)) return realpathSync(whole);
  const above = dirname(whole);
  return above === whole ? whole : join(real(above), whole.slice(above.length));
}

/** Marks among the returns would be taken for returns the next time. */
function requireApart(returns: string, to: string): void {
  if (!existsSync(returns))
    throw new Error(`${returns} is not there; a folder or a zip with returns was expected.`);
  const inside = relative(real(returns), real(to));
  if (
    inside === '' ||
    (inside !== '..' && !inside.startsWith(`..${sep}`) && resolve(inside) !== inside)
  )
    throw new Error(`${join(to)} lies inside ${returns}; name a folder beside it for the marks.`);
}

/**
 * Make the folder of marks, closed to other accounts, or close one that is open: its own account only, and the
 * group where it is one that works together, which is seen by its right to write. On Windows folders have no such modes.
 *
 * @returns true where it had been open
 */
export function closeFolder(folder: string): boolean {
  if (mkdirSync(folder, { recursive: true, mode: 0o700 }) !== undefined) return false;
  if (process.platform === 'win32') return false;
  const mode = statSync(folder).mode & 0o7777;
  const together = mode & 0o020 ? 0o7770 : 0o7700;
  if ((mode & together) === mode) return false;
  chmodSync(folder, mode & together);
  return true;
}

/** A file of ours and the digits that write-file-atomic adds to the name until the file is whole. */
const unfinished = /\.(?:json|csv|html|ipynb|secret)\.\d{1,10}$/;

/**
 * Remove what runs that were cut off had begun to write into a folder of marks. Only what is older than this
 * process: another run may be writing there now.
 */
function removeHalfWritten(folder: string): void {
  const began = Date.now() - 1000 * process.uptime();
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile() || !unfinished.test(entry.name)) continue;
    const path = join(entry.parentPath, entry.name);
    const info = statSync(path, { throwIfNoEntry: false });
    if (info && info.mtimeMs < began) rmSync(path, { force: true });
  }
}
