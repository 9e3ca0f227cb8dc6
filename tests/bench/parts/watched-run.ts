import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { descendants } from '../../cli/made-up-class/descendants';

export interface Watched {
  readonly seconds: number;
  /** Largest memory of the process itself, MB; 0 where there is no /proc. */
  readonly peak: number;
  /** Largest memory of any process under it whose command line holds `under`, MB. */
  readonly peakUnder: number;
}

function status(pid: number | string | undefined, file: string): string {
  try {
    return readFileSync(`/proc/${pid}/${file}`, 'utf8');
  } catch {
    return '';
  }
}

const highest = (pid: number | string | undefined) =>
  Number(/VmHWM:\s+(\d+)/.exec(status(pid, 'status'))?.[1] ?? 0) / 1024;

/** Run a program to its end and watch its memory, and that of the processes it starts. */
export function watchedRun(
  file: string,
  args: readonly string[],
  { env = {}, under }: { env?: Record<string, string>; under?: string } = {},
): Promise<Watched> {
  const started = performance.now();
  const child = spawn(file, args, {
    env: { ...process.env, ...env },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let peak = 0;
  let peakUnder = 0;
  let said = '';
  child.stderr.on('data', (piece) => {
    said = (said + piece).slice(-2000);
  });
  const look = setInterval(() => {
    peak = Math.max(peak, highest(child.pid));
  }, 100);
  const lookUnder = setInterval(() => {
    if (under === undefined || child.pid === undefined) return;
    for (const one of descendants(child.pid)) {
      const pid = one.split('@')[0];
      if (status(pid, 'cmdline').includes(under)) peakUnder = Math.max(peakUnder, highest(pid));
    }
  }, 1000);
  return new Promise((done, fail) =>
    child.once('close', (code) => {
      clearInterval(look);
      clearInterval(lookUnder);
      const seconds = (performance.now() - started) / 1000;
      if (code === 0) done({ seconds, peak, peakUnder });
      else fail(new Error(`${file} ${args[0]} ended with ${code}: ${said}`));
    }),
  );
}
