import { readdirSync, readFileSync } from 'node:fs';

/** A process and the moment it began, so that a number used anew is not taken for it. */
export type Started = `${number}@${string}`;

interface Process {
  readonly pid: number;
  readonly parent: number;
  readonly started: string;
}

function allProcesses(): Process[] {
  return readdirSync('/proc').flatMap((name): Process[] => {
    if (!/^\d+$/.test(name)) return [];
    try {
      const stat = readFileSync(`/proc/${name}/stat`, 'utf8');
      // The command's name stands in brackets and may hold anything; proc(5) counts from there.
      const [state, parent, ...rest] = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
      if (state === 'Z') return [];
      return [{ pid: Number(name), parent: Number(parent), started: rest[17] }];
    } catch {
      return [];
    }
  });
}

/** All that a process has started, and what those have started; Linux only. */
export function descendants(pid: number): Started[] {
  const all = allProcesses();
  const found = new Set([pid]);
  for (let size = 0; size < found.size; ) {
    size = found.size;
    for (const one of all) if (found.has(one.parent)) found.add(one.pid);
  }
  return all
    .filter((one) => one.pid !== pid && found.has(one.pid))
    .map((one): Started => `${one.pid}@${one.started}`);
}

/** Those of some processes that still run. */
export function stillRunning(some: ReadonlySet<Started>): Started[] {
  return allProcesses()
    .map(({ pid, started }): Started => `${pid}@${started}`)
    .filter((one) => some.has(one));
}
