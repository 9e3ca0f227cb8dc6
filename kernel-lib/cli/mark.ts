import { existsSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import type { Command } from 'commander';
import { type Confinement, lockDown, openConfinement } from '../confined/confine';
import { endAllProcesses } from '../confined/line-process';
import { createStage } from '../confined/stage';
import { chooseReturns } from '../marking/choose';
import { returnsToCompare } from '../marking/choose-best';
import { requireWritable } from './files';
import { changedByHand } from './mark/changed-by-hand';
import { closeFolder } from './mark/close-folder';
import { gatherReturns } from './mark/gather-returns';
import { removeHalfWritten } from './mark/half-written';
import { markAll } from './mark/mark-all';
import { type MarkOptions, markWords, rosterFrom } from './mark/mark-options';
import { recordsIn } from './mark/records';
import { latenessOf } from './mark/settle';
import { sheetsToMark } from './mark/sheets-to-mark';
import { writeClass } from './mark/write-class';
import { writtenByHand } from './mark/written-by-hand';

/** `multislit mark RETURNS --to FOLDER`: every return marked or listed with its reason. */
export const markCommand = (): Command => markWords(mark);

async function mark(returns: string, options: MarkOptions): Promise<void> {
  requireApart(returns, options.to);
  // Marks, codes and records are nobody else's: 0600 and 0700 for all that is made from here on.
  process.umask(0o077);
  if (options.json !== undefined) requireWritable(options.json);
  const sheets = sheetsToMark(options.sheet ?? []);
  const roster = options.roster === undefined ? undefined : rosterFrom(options.roster);
  const numbers = roster && new Set(roster.map(({ student }) => student));
  const { found, notMarked } = gatherReturns(returns, sheets, numbers);
  const { counted, passedOver } =
    options.count === 'best'
      ? returnsToCompare(found, latenessOf(options, roster))
      : chooseReturns(found);
  const toMark = counted.flatMap((one) => {
    const sheet = sheets.get(one.sheet);
    return sheet ? [{ found: one, sheet }] : [];
  });
  if (closeFolder(options.to))
    console.error(`${options.to} was open to other accounts of this machine; it is closed now.`);
  removeHalfWritten(options.to);
  const changes = await changedByHand(options.to, sheets, counted, numbers);
  const written = await writtenByHand(options.to, sheets, counted);

  const stage = createStage();
  const stop = () => {
    endAllProcesses();
    stage.remove();
    console.error('\nStopped. Start the same command again to go on.');
    process.exit(130);
  };
  process.once('SIGINT', stop).once('SIGTERM', stop);
  try {
    const confinement: Confinement = options.unconfined
      ? await openConfinement(stage)
      : await lockDown(stage);
    if (options.unconfined)
      console.error('Students’ code runs WITHOUT lock-down, as --unconfined asks.');
    const limits = { cell: 1000 * options.cellSeconds, sheet: 1000 * options.sheetSeconds };
    const { jobs, count } = options;
    const store = recordsIn(options.to, count);
    const marked = await markAll(toMark, options.to, store, confinement, { jobs, limits, count });
    await writeClass(options, {
      toMark,
      store,
      sheets,
      roster,
      marked,
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
    process.off('SIGINT', stop).off('SIGTERM', stop);
  }
}

/** Marks among the returns would be taken for returns the next time. */
function requireApart(returns: string, to: string): void {
  if (!existsSync(returns))
    throw new Error(`${returns} is not there; a folder or a zip with returns was expected.`);
  const inside = relative(resolve(returns), resolve(to));
  if (!inside.startsWith('..') && resolve(inside) !== inside)
    throw new Error(`${join(to)} lies inside ${returns}; name a folder beside it for the marks.`);
}
