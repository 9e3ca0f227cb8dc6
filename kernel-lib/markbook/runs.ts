import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { Refusal } from '../desk/refusal';
import { built } from '../kernel/home';
import type { RunTold } from '../marker/mark-all';
import type { RunState } from '../marking/looked-through';

/** Runs of `multislit mark`, one at a time for each folder of marks. */
export interface Runs {
  /** How the run of a folder stands; undefined where none was started here. */
  stateOf(folder: string): RunState | undefined;
  /** @param words options of `multislit mark` besides the two places */
  start(folder: string, returns: string, words: readonly string[]): RunState;
  /**
   * Only list what came in, and keep what was set.
   *
   * @throws Refusal with what the marker says, where it refuses
   */
  look(folder: string, returns: string, words: readonly string[]): Promise<void>;
  /** Until no look at what came in is under way. */
  quiet(folder: string): Promise<void>;
  /** As Ctrl-C does: what is marked stays marked, and the next run goes on from there. */
  stop(folder: string): Promise<void>;
}

/** Longest text that is kept of what a run says, UTF-16 units. */
const longestSaid = 20_000;

type Running = { -readonly [Name in keyof RunState]: RunState[Name] };

/** The very program that the command line runs, in a process of its own: it stops with this one. */
export function runsOfMark(): Runs {
  const all = new Map<string, { state: Running; child: ChildProcess }>();
  /** The look that is under way in each folder: the next one waits for it. */
  const looks = new Map<string, Promise<void>>();

  async function lookOnce(to: string, returns: string, words: readonly string[]): Promise<void> {
    if (all.get(to)?.state.is === 'running')
      throw new Refusal(409, 'This folder is being marked: wait for the end, or stop it.');
    const child = fork(
      built('cli.cjs'),
      ['mark', resolve(returns), '--to', to, '--look', ...words],
      { silent: true, execArgv: [] },
    );
    let said = '';
    child.stderr?.on('data', (piece) => {
      said = (said + piece).slice(0, longestSaid);
    });
    child.stdout?.resume();
    const [code] = await once(child, 'close');
    if (code !== 0) throw new Refusal(400, said.trim() || 'What came in could not be listed.');
  }

  return {
    async look(folder, returns, words) {
      const to = resolve(folder);
      const before = looks.get(to);
      const now = (before ?? Promise.resolve())
        .catch(() => {})
        .then(() => lookOnce(to, returns, words));
      looks.set(to, now);
      await now.finally(() => looks.get(to) === now && looks.delete(to));
    },

    stateOf: (folder) => all.get(resolve(folder))?.state,

    async quiet(folder) {
      await looks.get(resolve(folder))?.catch(() => {});
    },

    start(folder, returns, words) {
      const to = resolve(folder);
      if (all.get(to)?.state.is === 'running')
        throw new Refusal(409, 'This folder is being marked already.');
      if (returns === '' || !existsSync(returns))
        throw new Refusal(
          404,
          `${returns || 'Nothing'} is not there: name the folder or zip with the returns.`,
        );
      const child = fork(built('cli.cjs'), ['mark', resolve(returns), '--to', to, ...words], {
        silent: true,
        execArgv: [],
      });
      const state: Running = {
        ...{ is: 'running', returns: resolve(returns), startedAt: Date.now() },
        ...{ done: 0, of: 0, said: '' },
      };
      const hear = (piece: Buffer) => {
        state.said = (state.said + piece).slice(-longestSaid);
      };
      child.stdout?.on('data', hear);
      child.stderr?.on('data', hear);
      child.on('message', (told: RunTold) => {
        if ('lockDown' in told) state.lockDown = told.lockDown;
        else Object.assign(state, { done: told.done, of: told.of, toldAt: Date.now() });
      });
      child.once('close', (code, signal) => {
        const isStopped = code === 130 || signal !== null;
        state.is = isStopped ? 'stopped' : code === 0 ? 'done' : 'failed';
      });
      all.set(to, { state, child });
      return state;
    },

    async stop(folder) {
      const found = all.get(resolve(folder));
      if (found?.state.is !== 'running') return;
      const closed = once(found.child, 'close');
      found.child.kill('SIGINT');
      await closed;
    },
  };
}
