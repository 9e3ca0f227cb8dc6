import { fork } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { Command, InvalidArgumentError, Option } from 'commander';
import { counted as howMany } from '../figures/shown';
import { readNotebookFile, requireWritable, writeWhole } from '../kernel/files';
import { built, home } from '../kernel/home';
import { findKey, originalNotebook, sheetNames } from '../kernel/sheets';
import { cellById, tagOf, takesWork } from '../notebook/notebook';
import { givensFor } from '../questions/draw';
import { judgePlain } from '../questions/judge';
import { type Proof, proveSheet, provingStudents } from '../questions/prove';
import { openForms } from '../questions/sheet';
import { wordToChange } from './new-examples';

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
    const left = leftToChange(proof.sheet);
    if (left) console.log(left);
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
      `There is no sheet "${name}" with a sheet.ts and a sheet.md. There are: ${known}.`,
    );
  }
  if (findKey(name) === undefined) {
    throw new Error(
      `The sheet "${name}" has no key here (worksheets/${name}/key.ts), so it cannot be proved.`,
    );
  }
}

type SheetProof = Proof;

/** How many blank notebooks are run; their cells do the same for every student. */
const blankRuns = 3;

/** Prove one sheet: by value, by running its model notebook, and by running it blank. */
async function proveOneSheet(
  name: string,
  students: number,
  onStudent: (done: number, of: number) => void,
): Promise<SheetProof> {
  // Loaded only here: it brings a compiler along, for which the other commands would wait.
  const { modelRunner } = await import('../kernel/run-model');
  const key = findKey(name);
  const path = originalNotebook(name);
  if (!key || !path) throw new Error(`The sheet "${name}" is not built with its key.`);
  const original = readNotebookFile(path);
  const forms = openForms(key);
  const numbers = provingStudents(students);
  const runModel = modelRunner(key, original, path, forms, key.model);
  const runBlank = modelRunner(key, original, path, forms, {});

  const proof = await proveSheet(key, {
    students: numbers,
    onStudent,
    runModel,
  });

  const failures = [...proof.failures];
  const open = original.cells.filter((cell) => takesWork(cell) && tagOf(cell)?.question);
  for (const id of Object.keys(key.model))
    if (!cellById(original, id)) {
      const [line] = linesWith(name, 'key.ts', id);
      const what = `key.ts${line ? `, line ${line}` : ''}: the model answer ${id} belongs to no cell; the cells to fill in are ${open.map((cell) => cell.id).join(', ')}`;
      failures.push({ student: '', question: '', what });
    }
  for (const student of numbers.slice(0, blankRuns)) {
    const given = givensFor(key.sheet, student);
    const { answers, failed } = await runBlank(student, given);
    for (const what of failed) {
      failures.push({ student, question: '', what: `the blank notebook fails: ${what}` });
    }
    for (const question of forms) {
      const verdict = judgePlain(question, given, answers.get(question.id) ?? { is: 'blank' });
      if (verdict.marks > 0) {
        const what = `the blank notebook earns ${verdict.marks} marks`;
        failures.push({ student, question: question.id, what });
      }
    }
  }
  return { ...proof, failures };
}

/** The lines of a sheet's file in which a word stands, counted from 1; none where the file is not here. */
function linesWith(sheet: string, file: string, word: string): number[] {
  const path = join(home, 'worksheets', sheet, file);
  if (!existsSync(path)) return [];
  const lines = readFileSync(path, 'utf8').split('\n');
  return lines.flatMap((line, i) => (line.includes(word) ? [i + 1] : []));
}

/** What `multislit new` laid out and nobody has changed yet, in words; empty when there is nothing. */
function leftToChange(sheet: string): string {
  const left = ['sheet.md', 'sheet.ts', 'key.ts'].flatMap((file) => {
    const lines = linesWith(sheet, file, wordToChange);
    return lines.length > 0 ? [`${file} ${lines.join(', ')}`] : [];
  });
  return left.length > 0
    ? `  Still ${wordToChange}, to be changed, in lines: ${left.join('; ')}.`
    : '';
}

/** A proof for people: one line, then what fails, alike ones once. */
export function proofText(proof: Proof): string {
  const { sheet, questions, slips, judged, students, failures } = proof;
  const head = `${sheet}: ${howMany(questions, 'question')}, ${howMany(slips, 'slip')}, ${howMany(students, 'student number')}, ${howMany(judged, 'answer')} judged`;
  if (failures.length === 0) return [`${head}. Holds.`, ...nearestText(proof)].join('\n');
  const groups = new Map<string, { count: number; first: string }>();
  for (const { student, question, what } of failures) {
    const place = question ? `${question}: ${what}` : what;
    const key = place.replace(/[-+\d.]+(?:e[-+]?\d+)?/gi, '#');
    const group = groups.get(key);
    if (group) group.count += 1;
    else groups.set(key, { count: 1, first: student ? `${place} (student ${student})` : place });
  }
  const lines = [...groups.values()].map(({ count, first }) => `  ${count} × ${first}`);
  return [`${head}. ${failures.length} FAILURES:`, ...lines.slice(0, 30)].join('\n');
}

/** Beyond this many tolerances a slip is never taken for the answer by rough work. */
const farEnough = 3;

/** Where a slip comes near to what agrees, at most three lines: the student numbers to look at first. */
const nearestText = ({ nearest }: Proof): string[] =>
  nearest
    .filter(({ times }) => times < farEnough)
    .slice(0, 3)
    .map(
      ({ question, slip, student, times }) =>
        `  Near: ${question} “${slip}” is ${times.toFixed(1)} tolerances off for student ${student}.`,
    );

type Message = { done: number } | { proof: SheetProof } | { problem: string };

/** Told how many student numbers are done over all sheets. */
type ShowProgress = (done: number, of: number) => void;

/**
 * Prove sheets, each in a process of its own, at most `processes` at a time. The last ones start first:
 * they take longest, and none of them should be left to run alone.
 *
 * @returns a proof for each name, in the same order
 */
function proveInProcesses(
  names: readonly string[],
  students: number,
  processes: number,
  show: ShowProgress,
): Promise<SheetProof>[] {
  const done = names.map(() => 0);
  const onDone = (i: number) => (count: number) => {
    done[i] = count;
    const sum = done.reduce((a, b) => a + b, 0);
    show(sum, names.length * students);
  };
  const waiting = names.map((name, i) => {
    let start = () => {};
    const proof = new Promise<void>((go) => {
      start = go;
    }).then(() => proveInProcess(name, students, onDone(i)));
    return { proof, start };
  });
  const proofs = waiting.map(({ proof }) => proof);
  const startNext = () => {
    const next = waiting.pop();
    if (!next) return;
    next.start();
    next.proof.then(startNext, startNext);
  };
  for (let i = 0; i < processes; i++) startNext();
  return proofs;
}

function proveInProcess(
  name: string,
  students: number,
  onDone: (count: number) => void,
): Promise<SheetProof> {
  const child = fork(built('cli.cjs'), ['prove', name, '--students', String(students), '--report']);
  return new Promise((resolve, reject) => {
    child.on('message', (message: Message) => {
      if ('done' in message) onDone(message.done);
      else if ('proof' in message) resolve(message.proof);
      else reject(new Error(message.problem));
    });
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`Proving ${name} ended early (code ${code}).`)));
  });
}

/** The other end: prove one sheet and send what comes of it to the process that asked. */
async function reportProof(name: string, students: number): Promise<void> {
  const send = (message: Message) =>
    new Promise<void>((done) => process.send?.(message, () => done()));
  try {
    const proof = await proveOneSheet(name, students, (count) => void send({ done: count }));
    await send({ proof });
  } catch (error) {
    await send({ problem: (error as Error).message });
  }
  process.exit();
}
