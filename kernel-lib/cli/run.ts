import { dirname, resolve } from 'node:path';
import { Command } from 'commander';
import { readNotebookFile, requireWritable, writeWhole } from '../kernel/files';
import { withStudentNumber } from '../notebook/notebook';
import { writeNotebook } from '../notebook/write-notebook';
import { readStudentNumber } from '../questions/student-number';

interface RunOptions {
  readonly to: string;
  readonly student?: string;
}

/** `multislit run NOTEBOOK --to FILE`: every code cell in order, the outputs into another file. */
export function runCommand(): Command {
  return new Command('run')
    .description('Run every cell of a notebook and write it with its outputs.')
    .argument('<notebook>', 'the .ipynb file to run; it stays as it is')
    .requiredOption('--to <file>', 'where the notebook with its outputs goes')
    .option('--student <number>', 'the student number to run it with')
    .addHelpText(
      'after',
      '\nExit code 0: all cells ran. 1: a cell failed, or a file could not be used.',
    )
    .action(run);
}

async function run(path: string, { to, student }: RunOptions): Promise<void> {
  // Loaded only here: it brings a compiler along, for which the other commands would wait.
  const { nodeSession } = await import('../kernel/node-session');
  const { runNotebook } = await import('../cells/run/run-notebook');
  requireWritable(to);
  const read = readNotebookFile(path);
  const notebook =
    student === undefined ? read : withStudentNumber(read, readStudentNumber(student));
  // Ctrl-C ends the process as it is, also in a cell's loop: nothing is written before the end.
  const [target, folder] = [resolve(to), dirname(resolve(path))];
  // As in Jupyter, a file that a cell opens by its bare name lies beside the notebook.
  process.chdir(folder);
  const ran = await runNotebook(notebook, (onOutput) => nodeSession({ cwd: folder, onOutput }));
  await writeWhole(target, writeNotebook(ran.notebook));
  for (const { number, error } of ran.failed) {
    const place = error.place ? `, line ${error.place.line}` : '';
    console.error(`Code cell ${number}${place}: ${error.ename}: ${error.evalue}`);
  }
  if (ran.failed.length > 0) {
    console.error(`${ran.failed.length} of the cells failed; ${to} holds what they said.`);
  }
  // Timers that cells left behind must not keep the command alive.
  process.exit(ran.failed.length > 0 ? 1 : 0);
}
