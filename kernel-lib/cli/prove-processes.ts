import { fork } from 'node:child_process';
import { built } from '../kernel/home';
import { proveOneSheet, type SheetProof } from './prove-sheet';

type Message = { done: number } | { proof: SheetProof } | { problem: string };

/** Told how many student numbers are done over all sheets. */
export type ShowProgress = (done: number, of: number) => void;

/**
 * Prove sheets, each in a process of its own, at most `processes` at a time. The last ones start first:
 * they take longest, and none of them should be left to run alone.
 *
 * @returns a proof for each name, in the same order
 */
export function proveInProcesses(
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
export async function reportProof(name: string, students: number): Promise<void> {
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
