import childProcess, { ChildProcess } from 'node:child_process';
import { syncBuiltinESMExports } from 'node:module';
import { StringDecoder } from 'node:string_decoder';
import { type CellContext, currentCell } from './cell-context';

// What a program that a cell starts prints to "the same place as its parent" is meant for the cell, and would go to
// where the kernel itself prints.

type Name = 'stdout' | 'stderr';
type Stdio = unknown;

const names: readonly (readonly [Name, number])[] = [
  ['stdout', 1],
  ['stderr', 2],
];

/** Which of this process's own streams an entry of `stdio` stands for. */
function inherited(entry: unknown, at: number): Name | undefined {
  if (entry === 'inherit') return at === 1 ? 'stdout' : 'stderr';
  if (entry === 1 || entry === process.stdout) return 'stdout';
  return entry === 2 || entry === process.stderr ? 'stderr' : undefined;
}

/** `stdio` with pipes in the place of this process's own streams, and which cell's stream each of them is. */
function withPipes(stdio: Stdio): { stdio: Stdio; shown: Map<Name, Name> } {
  const shown = new Map<Name, Name>();
  if (!Array.isArray(stdio) && stdio !== 'inherit') return { stdio, shown };
  const list: unknown[] = Array.isArray(stdio) ? [...stdio] : ['inherit', 'inherit', 'inherit'];
  for (const [name, at] of names) {
    const own = inherited(list[at], at);
    if (!own) continue;
    list[at] = 'pipe';
    shown.set(name, own);
  }
  return { stdio: list, shown };
}

function guardSpawn(): void {
  const prototype = ChildProcess.prototype as unknown as {
    spawn(options: { stdio?: Stdio }): unknown;
  };
  const { spawn } = prototype;
  prototype.spawn = function (this: ChildProcess, options) {
    const cell = currentCell();
    const { stdio, shown } = withPipes(options?.stdio);
    if (!cell || shown.size === 0) return spawn.call(this, options);
    const result = spawn.call(this, { ...options, stdio });
    for (const [name, own] of shown) {
      const decoder = new StringDecoder('utf8');
      this[name]?.on('data', (piece: Buffer) => cell.write(own, decoder.write(piece)));
    }
    return result;
  };
}

type Sync = (...args: unknown[]) => unknown;
interface Ended {
  stdout?: unknown;
  stderr?: unknown;
}

const isOptions = (value: unknown): value is { stdio?: Stdio } =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function tell(cell: CellContext, ended: Ended, shown: ReadonlyMap<Name, Name>): void {
  for (const [name, own] of shown) {
    const text = ended[name];
    if (text !== null && text !== undefined) cell.write(own, String(text));
    ended[name] = null;
  }
}

function guardSync(): void {
  const module = childProcess as unknown as Record<string, Sync>;
  for (const call of ['spawnSync', 'execSync', 'execFileSync']) {
    const plain = module[call];
    module[call] = (...args) => {
      const cell = currentCell();
      const at = args.findLastIndex(isOptions);
      const options = args[at];
      const { stdio, shown } = withPipes(isOptions(options) ? options.stdio : undefined);
      if (!cell || shown.size === 0) return plain(...args);
      const changed = { ...(options as object), stdio };
      // Told nothing, these two hand on by themselves what comes on standard error.
      if (call !== 'spawnSync' && shown.get('stderr') === 'stderr') {
        shown.delete('stderr');
        (changed as { stdio?: Stdio }).stdio = undefined;
      }
      try {
        const result = plain(...args.with(at, changed));
        if (call === 'spawnSync') {
          tell(cell, result as Ended, shown);
          return result;
        }
        tell(cell, { stdout: result }, shown);
        return shown.has('stdout') ? null : result;
      } catch (error) {
        tell(cell, error as Ended, shown);
        throw error;
      }
    };
  }
  syncBuiltinESMExports();
}

/** From now on what a cell's child processes print in this process's place is the cell's output. */
export function guardChildren(): void {
  guardSpawn();
  guardSync();
}
