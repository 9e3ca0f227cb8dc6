import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';

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
  const [program, ...words] =
    process.platform === 'win32'
      ? [
          'powershell.exe',
          '-NoProfile',
          '-Command',
          'Get-CimInstance Win32_Process | ForEach-Object { "$($_.ProcessId) $($_.ParentProcessId)" }',
        ]
      : ['ps', '-A', '-o', 'pid=,ppid='];
  const { stdout, pid } = spawnSync(program, words, {
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
