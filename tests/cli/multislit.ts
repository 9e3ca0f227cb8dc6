import { type SpawnOptions, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** As long as the test runner lets a test of a program wait. ms */
export const hang = 600_000;

/** The built program itself: the build is up to date when tests run. */
export const entry = fileURLToPath(new URL('../../.build/cli.cjs', import.meta.url));

export interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

type Where = Pick<SpawnOptions, 'cwd' | 'uid' | 'gid'> & { env?: Record<string, string> };

/** Run a script of Node's in a process of its own, to its end. */
export function node(args: readonly string[], { env, ...where }: Where = {}): Promise<Ended> {
  const child = spawn(process.execPath, args, { ...where, env: { ...process.env, ...env } });
  const said = { out: '', err: '' };
  child.stdout.on('data', (piece) => {
    said.out += piece;
  });
  child.stderr.on('data', (piece) => {
    said.err += piece;
  });
  return new Promise((done) => child.once('close', (code) => done({ code, ...said })));
}

/** Run `multislit …` as a person does. */
export const multislit = (args: readonly string[], where?: Where): Promise<Ended> =>
  node([entry, ...args], where);
