import { availableParallelism } from 'node:os';
import { Command, InvalidArgumentError, Option } from 'commander';
import { counted as howMany } from '../figures/shown';
import { findKey, originalNotebook, sheetNames } from '../kernel/sheets';
import { requireWritable, writeWhole } from './files';
import { proveInProcesses, reportProof } from './prove-processes';
import { proofText, type SheetProof } from './prove-sheet';

interface ProveCommandOptions {
  readonly students: number;
  readonly json?: string;
  readonly report?: boolean;
}

function wholeNumber(text: string): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < 1 || value > 100_000) {
    throw new InvalidArgumentError('A whole number from 1 to 100000 was expected.');
  }
  return value;
}

/** `multislit prove [SHEET…]`: model answers earn all marks, blank ones none, each slip shows its own hint. */
export function proveCommand(): Command {
  return new Command('prove')
    .description(
      'Prove sheets over many student numbers: model answers earn full marks, blank ones none, every slip is told by its own hint.',
    )
    .argument('[sheet...]', 'names such as 02-one-slit; all sheets unless given')
    .option('--students <number>', 'how many student numbers', wholeNumber, 200)
    .addOption(new Option('--report', 'one sheet, figures to the process that asked').hideHelp())
    .option('--json <file>', 'write the figures and every failure to a file')
    .addHelpText('after', '\nExit code 0: all holds. 1: something does not, and what is printed.')
    .action(prove);
}

async function prove(names: string[], options: ProveCommandOptions): Promise<void> {
  const { students, json, report } = options;
  if (report) return reportProof(names[0], students);
  if (json !== undefined) requireWritable(json);
  const chosen = names.length > 0 ? names : sheetNames();
  for (const name of chosen) requireProvable(name);
  const show = process.stderr.isTTY
    ? (done: number, of: number) => process.stderr.write(`\r${done} of ${of} student numbers `)
    : () => {};
  const started = Date.now();
  const proofs: SheetProof[] = [];
  for (const coming of proveInProcesses(chosen, students, availableParallelism(), show)) {
    const proof = await coming;
    if (process.stderr.isTTY) process.stderr.write('\r\u001b[K');
    console.log(proofText(proof));
    proofs.push(proof);
  }
  const failures = proofs.reduce((sum, proof) => sum + proof.failures.length, 0);
  const seconds = ((Date.now() - started) / 1000).toFixed(0);
  const verdict = failures === 0 ? 'All holds' : howMany(failures, 'failure');
  console.log(
    `${verdict}: ${howMany(proofs.length, 'sheet')}, ${howMany(students, 'student number')}, ${seconds} s.`,
  );
  if (json !== undefined) await writeWhole(json, `${JSON.stringify(proofs, null, 2)}\n`);
  process.exitCode = failures === 0 ? 0 : 1;
}

function requireProvable(name: string): void {
  if (originalNotebook(name) === undefined) {
    const known = sheetNames().join(', ') || 'none';
    throw new Error(
      `There is no sheet "${name}" with a sheet.ts and a sheet.ipynb. There are: ${known}.`,
    );
  }
  if (findKey(name) === undefined) {
    throw new Error(
      `The sheet "${name}" has no key here (worksheets/${name}/key.ts), so it cannot be proved.`,
    );
  }
}
