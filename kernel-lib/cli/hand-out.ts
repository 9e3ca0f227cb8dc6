import { existsSync, readdirSync, statSync } from 'node:fs';
import { mkdir, mkdtemp, rename, rm, rmdir, writeFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { Command, InvalidArgumentError } from 'commander';
import { type Zippable, zipSync } from 'fflate';
import { findKey, originalNotebook, sheetNames } from '../kernel/sheets';
import { type Files, handOutFiles } from './hand-out-files';
import { leaksOf } from './hand-out-leaks';

interface HandOutOptions {
  readonly to: string;
  readonly deadline?: string;
  readonly course?: string;
}

function moment(text: string): string {
  if (/^\d{4}-\d{2}-\d{2}(T.+)?$/.test(text) && !Number.isNaN(Date.parse(text))) return text;
  throw new InvalidArgumentError(
    'A day, or a day and time such as 2026-11-20T23:59+01:00, was expected.',
  );
}

/** `multislit hand-out --to DIR [SHEET…]`: a folder and a zip that a student starts with `npm start`. */
export function handOutCommand(): Command {
  return new Command('hand-out')
    .description(
      'Make what students receive: a folder and a zip with the sheets and the program, without any key.',
    )
    .argument('[sheet...]', 'names such as 02-one-slit; all sheets unless given')
    .requiredOption('--to <folder>', 'where it goes; FOLDER.zip is written beside it')
    .option('--deadline <time>', 'when to hand in, told to the students', moment)
    .option(
      '--course <name>',
      'the course, told to the students, such as "Optics II, Alderbeck College"',
    )
    .addHelpText(
      'after',
      '\nExit code 0: folder and zip are complete. 1: nothing was written, and why.',
    )
    .action(handOut);
}

async function handOut(names: string[], { to, ...told }: HandOutOptions): Promise<void> {
  const folder = resolve(to);
  requireFree(folder, to);
  const sheets = names.length > 0 ? [...new Set(names)].sort() : sheetNames();
  for (const name of sheets) requireSheet(name);
  const files = handOutFiles({ sheets, ...told });
  const leaks = sheets.flatMap((name) => {
    const key = findKey(name);
    return key ? leaksOf(key, files) : [];
  });
  if (leaks.length > 0)
    throw new Error(`${leaks.join('\n')}\nNothing was written: mend this first.`);
  await writeHandOut(folder, files);
  const count = sheets.length === 1 ? 'One sheet' : `${sheets.length} sheets`;
  console.log(`${count} in ${to} and ${to}.zip. Give the zip to your students.`);
}

function requireSheet(name: string): void {
  if (originalNotebook(name) !== undefined) return;
  throw new Error(`There is no sheet "${name}". There are: ${sheetNames().join(', ') || 'none'}.`);
}

function requireFree(folder: string, told: string): void {
  const mend = 'Remove it, or name another place.';
  if (!existsSync(dirname(folder)))
    throw new Error(`There is no folder ${dirname(folder)} to put ${told} into. Make it first.`);
  if (existsSync(folder) && !statSync(folder).isDirectory())
    throw new Error(`${told} is a file; a folder was expected. ${mend}`);
  if (existsSync(folder) && readdirSync(folder).length > 0)
    throw new Error(`${told} is not empty, and nothing is written over. ${mend}`);
  if (existsSync(`${folder}.zip`))
    throw new Error(`${told}.zip is there already, and nothing is written over. ${mend}`);
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
