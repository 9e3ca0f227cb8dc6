import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { Command } from 'commander';
import { readNotebookFile, requireWritable, writeWhole } from '../kernel/files';
import { home } from '../kernel/home';
import { findKey, findSheet, originalNotebook, sheetNames } from '../kernel/sheets';
import {
  cellById,
  type Notebook,
  sheetOf,
  sourceOf,
  withoutOutputs,
  withStudentNumber,
} from '../notebook/notebook';
import { notebookOfText, SheetTextError, textOfNotebook, unlocked } from '../notebook/sheet-text';
import { writeNotebook } from '../notebook/write-notebook';
import { sampleStudent } from '../questions/student-number';
import { answeredCells } from './hand-out-files';

/** `multislit notebook NAME --to FILE | --from FILE`: write on a sheet in a front end of Jupyter, and bring it back. */
export function notebookCommand(): Command {
  return new Command('notebook')
    .description('Make a notebook of a sheet’s text, to edit it in Jupyter, or bring one back.')
    .argument('<sheet>', 'its name, such as 02-one-slit')
    .option('--to <file>', 'where to write the notebook; every cell of it can be changed')
    .option('--from <file>', 'the notebook whose cells become worksheets/NAME/sheet.md')
    .addHelpText(
      'after',
      `
The sheet's text, worksheets/NAME/sheet.md, stays the one source. A cell that is put in takes its place by where it
stands: code under a heading such as ### 2.1 … is work for that question, code with check('2.1', …) hands it in.
Outputs and the student number stay behind.`,
    )
    .action(async (name: string, { to, from }: { to?: string; from?: string }) => {
      if ((to === undefined) === (from === undefined))
        throw new Error(
          'Say one of both: --to FILE makes a notebook, --from FILE brings it back into sheet.md.',
        );
      const file = originalNotebook(name);
      const text = join(home, 'worksheets', name, 'sheet.md');
      if (file === undefined)
        throw new Error(`There is no sheet "${name}". There are: ${sheetNames().join(', ')}.`);
      const original = readNotebookFile(file);
      if (to !== undefined) {
        requireWritable(resolve(to));
        await writeWhole(resolve(to), writeNotebook(unlocked(original)));
        console.log(`Written to ${resolve(to)}. Bring it back with: --from ${to}`);
        return;
      }
      if (!existsSync(text))
        throw new Error(
          `There is no ${text} here, only what is made of it. Texts are changed in a working copy of multislit.`,
        );
      const edited = readNotebookFile(resolve(from as string));
      const { source, changes } = broughtBack(name, original, edited);
      await writeWhole(text, source);
      console.log(`${changes.join('\n') || 'Nothing has changed.'}\nWritten to ${text}`);
    });
}

/** The text of a notebook that was edited, and what is new in it, a line each. */
function broughtBack(name: string, original: Notebook, edited: Notebook) {
  const found = sheetOf(edited);
  if (found !== undefined && found !== name)
    throw new Error(`This notebook is of the sheet ${found}, not of ${name}. Nothing was changed.`);
  const source = textOfNotebook(withStudentNumber(withoutOutputs(edited), sampleStudent));
  const questions = findSheet(name)?.questions ?? [];
  let made: Notebook;
  try {
    made = notebookOfText(source, name, questions);
  } catch (error) {
    if (!(error instanceof SheetTextError)) throw error;
    const near = source.split('\n').slice(Math.max(0, error.line - 1), error.line + 1);
    throw new Error(
      `${error.message} It is about the place that begins “${near.join(' ').trim().slice(0, 60)}”. sheet.md is as it was.`,
    );
  }
  const key = findKey(name);
  const told = key ? answeredCells(key, made) : [];
  if (told.length > 0)
    throw new Error(
      `${told.join(', ')} would hand out the model answer: put blank back there. sheet.md is as it was.`,
    );
  const changes = made.cells.flatMap((cell) => {
    const before = cellById(original, cell.id);
    if (!before) return [`new: ${cell.id}`];
    return sourceOf(before) === sourceOf(cell) ? [] : [`changed: ${cell.id}`];
  });
  const gone = original.cells.filter(({ id }) => !cellById(made, id));
  return { source, changes: [...changes, ...gone.map(({ id }) => `gone: ${id}`)] };
}
