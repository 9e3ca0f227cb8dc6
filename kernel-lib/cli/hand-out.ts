import { existsSync, readdirSync, statSync } from 'node:fs';
import { mkdir, mkdtemp, rename, rm, rmdir, writeFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { createInterface } from 'node:readline/promises';
import { Command } from 'commander';
import { type Zippable, zipSync } from 'fflate';
import { replaceFile } from '../kernel/files';
import { findKey, findSheet, originalNotebook, sheetNames } from '../kernel/sheets';
import { factsFile } from '../marker/hand-out-facts';
import { type Moment, momentSaid, offsetSaid, readMoment, zoneOffset } from '../marking/moment';
import type { Files, SheetPlaces } from './hand-out-files';
import { handOutFiles, leaksOf } from './hand-out-files';
import { momentArgument, zoneName } from './mark';
import { oneFile } from './one-file';
import { siteFiles, siteParts, sitePlaces } from './site-files';

interface HandOutOptions {
  readonly to?: string;
  readonly web?: string;
  readonly file?: string;
  readonly deadline?: string;
  readonly zone?: string;
  readonly course?: string;
  readonly pastDeadline?: boolean;
}

/**
 * `multislit hand-out --to DIR [SHEET…]`: a folder and a zip that a student starts with `npm start`; with `--web DIR` a
 * site that needs nothing but a browser.
 */
export function handOutCommand(): Command {
  return new Command('hand-out')
    .description(
      'Make what students receive: a folder and a zip with the sheets and the program, without any key.',
    )
    .argument('[sheet...]', 'names such as 02-one-slit; all sheets unless given')
    .option('--to <folder>', 'where it goes; FOLDER.zip is written beside it')
    .option(
      '--web <folder>',
      'in the place of --to: a web site for any server, where students need nothing but a browser',
    )
    .option(
      '--file <file>',
      'in the place of --to: one sheet as one HTML file, such as one-slit.html, that runs from a memory stick',
    )
    .option(
      '--deadline <time>',
      'when to hand in, told to the students; a day means its end',
      momentArgument,
    )
    .option(
      '--zone <name>',
      'your time zone, such as Europe/Berlin; this machine’s unless given',
      zoneName,
    )
    .option('--past-deadline', 'the deadline has passed, and that is meant')
    .option(
      '--course <name>',
      'the course, told to the students, such as "Optics II, Alderbeck College"',
    )
    .addHelpText(
      'after',
      '\nOne of --to, --web and --file is needed. With --web, deadline and course are kept in hand-out.json for marking; the pages do\nnot tell them, so tell them where you give the address.\nExit code 0: folder and zip are complete. 1: nothing was written, and why. 2: the arguments are wrong.',
    )
    .action(handOut);
}

async function handOut(names: string[], options: HandOutOptions, command: Command): Promise<void> {
  const { web, course, zone = new Intl.DateTimeFormat().resolvedOptions().timeZone } = options;
  const to = web ?? options.to;
  const places = [options.to, web, options.file].filter((place) => place !== undefined);
  if (places.length !== 1)
    command.error(
      'error: say once where it goes: --to FOLDER for a program that students start, --web FOLDER for a web site, or --file FILE for one sheet in one HTML file.',
    );
  if (options.file !== undefined) return handOutFile(options.file, names, command);
  if (to === undefined) return;
  const folder = resolve(to);
  requireFree(folder, to);
  const said = options.deadline === 'none' ? undefined : options.deadline;
  const deadline = said === undefined ? undefined : readMoment(said, zone);
  if (deadline) await requireAhead(deadline, options);
  const sheets = names.length > 0 ? [...new Set(names)].sort() : sheetNames();
  for (const name of sheets) requireSheet(name);
  const about = course === undefined ? {} : { course };
  const parts = web ? siteParts(sheets) : undefined;
  const files = parts
    ? siteFiles(parts, course)
    : handOutFiles({
        ...{ sheets, ...about },
        ...(deadline ? { deadline: withZone(deadline) } : {}),
      });
  const facts = { ...about, ...(deadline ? { deadline: deadline.said, zone } : {}), sheets };
  files.set(factsFile, `${JSON.stringify(facts, null, 1)}\n`);
  requireNoLeaks(sheets, parts ?? files, parts ? sitePlaces : undefined);
  await writeHandOut(folder, files);
  const count = sheets.length === 1 ? 'One sheet' : `${sheets.length} sheets`;
  console.log(
    web
      ? `${count} in ${to} and ${to}.zip. Put the folder's files on a web server (https) and give your students the address.`
      : `${count} in ${to} and ${to}.zip. Give the zip to your students.`,
  );
  if (!deadline) return;
  const taken =
    deadline.zone !== undefined && options.zone === undefined
      ? '; no zone was typed, this one was taken'
      : '';
  console.log(`Due: ${momentSaid(deadline)}${taken}. \`mark --hand-out ${to}\` goes by it.`);
}

/** `hand-out --file FILE SHEET`: one sheet that needs neither server nor connection. */
async function handOutFile(file: string, names: string[], command: Command): Promise<void> {
  const [name] = names;
  if (names.length !== 1 || !/\.html?$/i.test(file))
    command.error(
      'error: --file takes one sheet and a name that ends in .html, such as hand-out --file one-slit.html 02-one-slit.',
    );
  requireSheet(name);
  const place = resolve(file);
  if (!existsSync(dirname(place)))
    throw new Error(`There is no folder ${dirname(place)} to put ${file} into. Make it first.`);
  if (existsSync(place))
    throw new Error(
      `${file} is there already, and nothing is written over. Remove it, or name another place.`,
    );
  const parts = siteParts([name]);
  requireNoLeaks([name], parts, sitePlaces);
  const page = oneFile(parts, findSheet(name)?.title ?? name);
  await replaceFile(place, page);
  const size = (Buffer.byteLength(page) / 1e6).toFixed(1);
  console.log(
    `One sheet in ${file} (${size} MB). It opens in a browser from any disk, without a server.`,
  );
}

function requireNoLeaks(
  sheets: readonly string[],
  files: Files,
  places?: (name: string) => SheetPlaces,
): void {
  const leaks = sheets.flatMap((name) => {
    const key = findKey(name);
    return key ? leaksOf(key, files, places?.(name)) : [];
  });
  if (leaks.length > 0)
    throw new Error(`${leaks.join('\n')}\nNothing was written: mend this first.`);
}

/** A deadline for students, whose computers may be in another zone: a day's end is its 24:00. */
function withZone({ said, time, zone, isDay }: Moment): string {
  if (zone === undefined) return said.replace(' ', 'T');
  const offset = offsetSaid(zoneOffset(isDay ? time - 1 : time, zone));
  return `${said.replace(' ', 'T')}${isDay ? 'T24:00' : ''}${offset}`;
}

/** A deadline that has passed is asked about at a terminal, and refused elsewhere. */
async function requireAhead(deadline: Moment, { pastDeadline }: HandOutOptions): Promise<void> {
  if (pastDeadline || deadline.time > Date.now()) return;
  const passed = `The deadline, ${momentSaid(deadline)}, has passed already.`;
  if (process.stdin.isTTY && process.stdout.isTTY) {
    const line = createInterface({ input: process.stdin, output: process.stdout });
    const answer = await line.question(`${passed} Is it meant? (yes or no) `);
    line.close();
    if (/^y(es)?$/i.test(answer.trim())) return;
    throw new Error('Nothing was written.');
  }
  throw new Error(`${passed} Nothing was written. If it is meant, say --past-deadline.`);
}

function requireSheet(name: string): void {
  if (originalNotebook(name) !== undefined) return;
  throw new Error(`There is no sheet "${name}". There are: ${sheetNames().join(', ') || 'none'}.`);
}

function requireFree(folder: string, typed: string): void {
  const mend = 'Remove it, or name another place.';
  if (!existsSync(dirname(folder)))
    throw new Error(`There is no folder ${dirname(folder)} to put ${typed} into. Make it first.`);
  if (existsSync(folder) && !statSync(folder).isDirectory())
    throw new Error(`${typed} is a file; a folder was expected. ${mend}`);
  if (existsSync(folder) && readdirSync(folder).length > 0)
    throw new Error(`${typed} is not empty, and nothing is written over. ${mend}`);
  if (existsSync(`${folder}.zip`))
    throw new Error(`${typed}.zip is there already, and nothing is written over. ${mend}`);
}

/** Build both in a folder beside, then give them their names: all or nothing. */
async function writeHandOut(folder: string, files: Files): Promise<void> {
  const name = basename(folder);
  const beside = await mkdtemp(join(dirname(folder), `.${name}-`));
  let stopped = false;
  const stop = () => {
    stopped = true;
  };
  process.on('SIGINT', stop).on('SIGTERM', stop);
  const goOn = () => {
    if (stopped) throw new Error('Stopped; nothing was written.');
  };
  try {
    const packed: Zippable = {};
    for (const [path, content] of files) {
      goOn();
      const file = join(beside, name, ...path.split('/'));
      await mkdir(dirname(file), { recursive: true });
      await writeFile(file, content);
      packed[`${name}/${path}`] = Buffer.from(content);
    }
    await writeFile(join(beside, `${name}.zip`), zipSync(packed, { level: 6 }));
    goOn();
    if (existsSync(folder)) await rmdir(folder);
    await rename(join(beside, `${name}.zip`), `${folder}.zip`);
    await rename(join(beside, name), folder).catch(async (error) => {
      await rm(`${folder}.zip`, { force: true });
      throw error;
    });
  } finally {
    process.off('SIGINT', stop).off('SIGTERM', stop);
    await rm(beside, { recursive: true, force: true });
  }
}
