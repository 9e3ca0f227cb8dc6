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
  const { stdout } = spawnSync(program, words, {
    encoding: 'utf8',
    windowsHide: true,
    timeout: 2000,
  });
  return pairsOf(stdout ?? '');
}

/** End the programs that this process started, and those that they started. */
export function endChildren(): void {
  const all = allProcesses();
  const found = [process.pid];
  for (const id of found)
    found.push(...all.filter(([, parent]) => parent === id).map(([own]) => own));
  for (const id of found.slice(1).reverse()) {
    try {
      process.kill(id, 'SIGKILL');
    } catch {
      // It has ended already.
    }
  }
}
