import { type ChildProcess, type SpawnOptions, spawn } from 'node:child_process';
import type { Readable } from 'node:stream';
import { StringDecoder } from 'node:string_decoder';

/** What a process said next: a line of JSON, or why there is none. */
export type Heard = { readonly line: unknown } | { readonly none: 'ended' | 'late' | 'flood' };

/** Another process that says lines of JSON. Nothing it says is trusted here: lines are parsed, no more. */
export interface LineProcess {
  readonly pid: number | undefined;
  /** What it said on standard error, at most 2000 characters. */
  readonly complaint: string;
  send(value: unknown, last?: boolean): void;
  /** The next line; waits at most `time` ms. */
  next(time: number): Promise<Heard>;
  /** End it and all it started. */
  kill(): void;
}

/** Everything still running, to be ended with this process. */
const running = new Set<ChildProcess>();

function end(child: ChildProcess): void {
  running.delete(child);
  try {
    if (child.pid === undefined) return;
    if (process.platform === 'win32') child.kill('SIGKILL');
    else process.kill(-child.pid, 'SIGKILL');
  } catch {
    // It has ended already.
  }
}

export function endAllProcesses(): void {
  for (const child of [...running]) end(child);
}

/** Start a process whose lines come by its file descriptor `channel`, `most` bytes in all (without end for Infinity). */
export function startLineProcess(
  file: string,
  args: readonly string[],
  options: SpawnOptions,
  channel: 1 | 3,
  most: number,
): LineProcess {
  const stdio: SpawnOptions['stdio'] =
    channel === 1 ? ['pipe', 'pipe', 'pipe'] : ['pipe', 'ignore', 'pipe', 'pipe'];
  const child = spawn(file, args, {
    ...options,
    stdio,
    detached: process.platform !== 'win32',
    windowsHide: true,
  });
  running.add(child);
  const lines: unknown[] = [];
  let over: 'ended' | 'flood' | undefined;
  let wake = () => {};
  let text = '';
  let told = 0;
  let complaint = '';
  const decoder = new StringDecoder('utf8');
  const finish = (why: 'ended' | 'flood') => {
    over ??= why;
    wake();
  };
  const out = child.stdio[channel] as Readable;
  out.on('data', (piece: Buffer) => {
    told += piece.length;
    if (told > most) {
      finish('flood');
      end(child);
      out.destroy();
      return;
    }
    text += decoder.write(piece);
    const parts = text.split('\n');
    text = parts.pop() ?? '';
    for (const part of parts) lines.push(parsed(part));
    // A piece of a long line is none yet: whoever waits goes on waiting.
    if (parts.length > 0) wake();
  });
  out.on('error', () => {});
  child.stderr?.on('data', (piece: Buffer) => {
    if (complaint.length < 2000) complaint += piece.toString().slice(0, 2000 - complaint.length);
  });
  child.stdin?.on('error', () => {});
  child.once('error', (error) => {
    complaint = error.message;
    running.delete(child);
    finish('ended');
  });
  child.once('close', () => {
    running.delete(child);
    finish('ended');
  });
  return {
    pid: child.pid,
    get complaint() {
      return complaint;
    },
    send(value, last = false) {
      child.stdin?.write(`${JSON.stringify(value)}\n`);
      if (last) child.stdin?.end();
    },
    async next(time) {
      if (lines.length === 0 && !over) {
        let timer: NodeJS.Timeout | undefined;
        await new Promise<void>((done) => {
          wake = done;
          timer = setTimeout(done, time);
        });
        clearTimeout(timer);
      }
      if (lines.length > 0) return { line: lines.shift() };
      return { none: over ?? 'late' };
    },
    kill: () => end(child),
  };
}

function parsed(line: string): unknown {
  try {
    return JSON.parse(line);
  } catch {
    return undefined;
  }
}
