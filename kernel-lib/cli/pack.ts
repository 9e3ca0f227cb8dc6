import { existsSync } from 'node:fs';
import { readdir, readFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { Command } from 'commander';
import { readNotebookFile, requireWritable, writeWhole } from '../kernel/files';
import { goingAlong } from '../travels/files-beside';
import { handInOf } from '../travels/handed-in';

/** `multislit pack NOTEBOOK`: what is handed in from a front end that has no button for it. */
export function packCommand(): Command {
  return new Command('pack')
    .description(
      'Pack a sheet to be handed in, with the files that its cells read, from plain Jupyter.',
    )
    .argument('<notebook>', 'the sheet as it was worked on; it stays as it is')
    .option('--to <folder>', 'where the file to send goes; beside the notebook unless given')
    .addHelpText(
      'after',
      `
The file is called by the student number and the sheet: a .zip where cells name a photograph or a table beside the notebook,
else an .ipynb. What a camera writes into a picture (place, date, device) is taken out of every one. Save the notebook first.`,
    )
    .action(pack);
}

async function pack(path: string, { to }: { to?: string }): Promise<void> {
  const notebook = readNotebookFile(path);
  const handIn = handInOf(notebook);
  if ('refusal' in handIn) throw new Error(`${path}: ${handIn.refusal}`);
  const folder = dirname(resolve(path));
  const along = await goingAlong(notebook, {
    names: async () =>
      (await readdir(folder, { withFileTypes: true }))
        .filter((entry) => entry.isFile())
        .map(({ name }) => name),
    read: (name) => readFile(join(folder, name)),
  });
  // Loaded only here: other commands need no zip.
  const { packReturn } = await import('../travels/pack-return');
  const { name, content } = packReturn(notebook, handIn.name, along.files);
  const target = join(to === undefined ? folder : resolve(to), name);
  requireWritable(target);
  // A zip is always one that was packed; a notebook may be somebody's work.
  if (name.endsWith('.ipynb') && existsSync(target)) {
    throw new Error(
      `${target} is there already and may be your work: nothing is written over it. Choose another folder by --to.`,
    );
  }
  await writeWhole(target, content);
  for (const sentence of along.says) console.log(sentence);
  const files = along.files.map((file) => file.name);
  console.log(`To be handed in: ${target}${files.length > 0 ? `, with ${files.join(', ')}` : ''}.`);
}
