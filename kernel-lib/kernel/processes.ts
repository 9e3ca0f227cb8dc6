import childProcess, { ChildProcess, spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { StringDecoder } from 'node:string_decoder';
import type { Host, StreamName } from '../cells/host';

// What a program that a cell starts prints to "the same place as its parent" is meant for the cell, and would go to
// where the kernel itself prints.

type Name = StreamName;
type CurrentCell = Parameters<Host['guard']>[0]['cell'];
type Printing = NonNullable<ReturnType<CurrentCell>>;
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
    const settings = inherited(list[at], at);
    if (!settings) continue;
    list[at] = 'pipe';
    shown.set(name, settings);
  }
  return { stdio: list, shown };
}

function guardSpawn(current: CurrentCell): void {
  const prototype = ChildProcess.prototype as unknown as {
    spawn(options: { stdio?: Stdio }): unknown;
  };
  const { spawn } = prototype;
  prototype.spawn = function (this: ChildProcess, options) {
    const cell = current();
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

function tell(cell: Printing, ended: Ended, shown: ReadonlyMap<Name, Name>): void {
  for (const [name, own] of shown) {
    const text = ended[name];
    if (text !== null && text !== undefined) cell.write(own, String(text));
    ended[name] = null;
  }
}

function guardSync(current: CurrentCell): void {
  const module = childProcess as unknown as Record<string, Sync>;
  for (const call of ['spawnSync', 'execSync', 'execFileSync']) {
    const plain = module[call];
    module[call] = (...args) => {
      const cell = current();
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
export function guardChildren(current: CurrentCell): void {
  guardSpawn(current);
  guardSync(current);
}

/** Processes and their parents, [id, parent] each. */
type Pair = readonly [number, number];

function pairsOf(text: string): Pair[] {
  return text.split(/\r?\n/).flatMap((line): Pair[] => {
    const [id, parent] = line
      .trim()
      .split(/[\s,]+/)
      .map(Number);
    return id > 0 && parent > 0 ? [[id, parent]] : [];
  });
}

function statOf(id: string): Pair[] {
  try {
    // The name in brackets may hold anything, so the parent is told from behind it.
    const text = readFileSync(`/proc/${id}/stat`, 'utf8');
    return [[Number(id), Number(text.slice(text.lastIndexOf(')') + 2).split(' ')[1])]];
  } catch {
    return [];
  }
}

function allProcesses(): Pair[] {
  if (process.platform === 'linux')
    return readdirSync('/proc')
      .filter((name) => /^\d+$/.test(name))
      .flatMap(statOf);
  const [program, ...args] =
    process.platform === 'win32'
      ? [
          'powershell.exe',
          '-NoProfile',
          '-Command',
          'Get-CimInstance Win32_Process | ForEach-Object { "$($_.ProcessId) $($_.ParentProcessId)" }',
        ]
      : ['ps', '-A', '-o', 'pid=,ppid='];
  const { stdout, pid } = spawnSync(program, args, {
    encoding: 'utf8',
    windowsHide: true,
    timeout: 2000,
  });
  // The program that made the list stands in it, too.
  return pairsOf(stdout ?? '').filter(([id]) => id !== pid);
}

/** All that this process started, and what they started, parents first. */
function descendants(): number[] {
  const all = allProcesses();
  const found = [process.pid];
  for (const id of found)
    found.push(...all.filter(([, parent]) => parent === id).map(([own]) => own));
  return found.slice(1);
}

function signal(id: number, name: 'SIGSTOP' | 'SIGKILL'): void {
  try {
    process.kill(id, name);
  } catch {
    // It has ended already, or this system does not know the signal.
  }
}

/**
 * End the programs that this process started, and those that they started.
 *
 * They are halted first, parents before children, until no new one shows: a shell whose program is ended would start
 * its next one, which would be nobody's child and keep the output open that `execSync` waits for.
 */
export function endChildren(): void {
  const halted = new Set<number>();
  for (let round = 0; round < 10; round += 1) {
    const found = descendants().filter((id) => !halted.has(id));
    if (found.length === 0) break;
    for (const id of found) {
      halted.add(id);
      signal(id, 'SIGSTOP');
    }
  }
  for (const id of halted) signal(id, 'SIGKILL');
}

/** True while a process with this id runs, also one of another account. */
export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // Not allowed to signal it: it is there.
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}
