import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { vi } from 'vitest';

/** What waits for a process waits until it ends, however busy the machine is; after this long it hangs. ms */
export const hang = 1_200_000;
vi.setConfig({ testTimeout: hang, hookTimeout: hang });

/** The built program itself: the build is up to date when tests run. */
const entry = fileURLToPath(new URL('../../.build/cli.cjs', import.meta.url));

export interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Run `multislit …` as a person does, in a process of its own. */
export function multislit(
  words: readonly string[],
  { cwd, env }: { cwd?: string; env?: Record<string, string> } = {},
): Promise<Ended> {
  const child = spawn(process.execPath, [entry, ...words], {
    cwd,
    env: { ...process.env, ...env },
  });
  let out = '';
  let err = '';
  child.stdout.on('data', (piece) => {
    out += piece;
  });
  child.stderr.on('data', (piece) => {
    err += piece;
  });
  return new Promise((done) => child.once('close', (code) => done({ code, out, err })));
}
