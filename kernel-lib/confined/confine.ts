import { realpathSync } from 'node:fs';
import { join } from 'node:path';
import { built, home } from '../kernel/home';
import { bubbleWords, findProgram } from './bubble';
import { bounds } from './job';
import { type LineProcess, startLineProcess } from './line-process';
import { packageFolders } from './package-folders';
import type { Stage } from './stage';

/** Starts the two kinds of process that marking uses. */
export interface Confinement {
  /** In words for the report. */
  readonly kind: string;
  /** A child for one return of a sheet; '' for a trial without one. */
  startChild(sheet: string): LineProcess;
  /** The process that checks and emits students' code, without running it. */
  startConverter(): LineProcess;
}

/** Bytes of data (heap, buffers, stacks), and V8's own limit within them in MB. */
const dataLimit = 1_000_000_000;
const heapLimit = 400;

/** Cuts a child off should the one that watches it be gone. Seconds of processor time. */
const mostProcessorTime = 600;

const permission = () =>
  process.allowedNodeEnvironmentFlags.has('--permission')
    ? '--permission'
    : '--experimental-permission';

function childWords(folder: string): string[] {
  return [
    permission(),
    `--allow-fs-read=${join(folder, '*')}`,
    '--no-warnings',
    '--no-addons',
    `--max-old-space-size=${heapLimit}`,
    join(folder, '.build', 'confined.cjs'),
  ];
}

/** A process without name spaces: Node's permission flags and an empty environment only. */
export function openConfinement(stage: Stage): Confinement {
  const node = process.execPath;
  // Windows starts no program without this one.
  const { SystemRoot } = process.env;
  const env = SystemRoot === undefined ? {} : { SystemRoot };
  return {
    kind: 'WITHOUT lock-down, as asked for',
    startChild: () =>
      startLineProcess(node, childWords(stage.folder), { cwd: stage.folder, env }, 3, bounds.told),
    startConverter: () =>
      startLineProcess(node, [built('convert.cjs')], { cwd: stage.folder, env }, 1, Infinity),
  };
}

const inside = '/multislit';

/** @param dropped run children as the account `nobody`, where this process may do so */
function lockedConfinement(
  stage: Stage,
  bwrap: string,
  prlimit: string,
  dropped: boolean,
): Confinement {
  const node = realpathSync(process.execPath);
  const account = dropped ? { uid: 65534, gid: 65534 } : {};
  const options = { cwd: '/', env: {} };
  return {
    kind: 'locked down: name spaces, limits, permission flags',
    startChild(sheet) {
      const files = stage
        .filesFor(sheet)
        .map((file) => [join(stage.folder, file), `${inside}/${file}`] as const);
      const binds = [[node, '/node'], [prlimit, '/prlimit'], ...files] as const;
      const limits = [
        `--data=${dataLimit}`,
        '--nproc=64',
        '--nofile=64',
        '--fsize=0',
        '--core=0',
        `--cpu=${mostProcessorTime}`,
      ];
      const words = [
        ...bubbleWords(binds, inside),
        '/prlimit',
        ...limits,
        '/node',
        ...childWords(inside),
      ];
      return startLineProcess(bwrap, words, { ...options, ...account }, 3, bounds.told);
    },
    startConverter() {
      const parts = ['package.json', '.build/types', '.build/convert.cjs'];
      const paths = [...packageFolders(home), ...parts.map((part) => join(home, part))];
      const binds = paths.map((path) => [path, path] as const);
      const words = [
        ...bubbleWords([[node, '/node'], ...binds], '/returns'),
        '/node',
        '--max-old-space-size=1500',
        built('convert.cjs'),
      ];
      return startLineProcess(bwrap, words, options, 1, Infinity);
    },
  };
}

const orElse =
  'Mark inside a Linux container or machine that has it, or say --unconfined to mark without lock-down (then run only returns that you trust; the report says so).';

async function starts(confinement: Confinement): Promise<string | undefined> {
  const child = confinement.startChild('');
  const heard = await child.next(30_000);
  child.kill();
  if ('line' in heard && (heard.line as { at?: unknown } | null)?.at === 'ready') return undefined;
  return child.complaint.trim().split('\n')[0] || 'it did not start';
}

/**
 * The lock-down of this machine.
 *
 * @throws Error where there is none, with the mend
 */
export async function lockDown(stage: Stage): Promise<Confinement> {
  if (process.platform !== 'linux')
    throw new Error(
      `Marking locks students' code into Linux name spaces; this is ${process.platform}. ${orElse}`,
    );
  const [bwrap, prlimit] = ['bwrap', 'prlimit'].map(findProgram);
  if (!bwrap || !prlimit) {
    const lacking = bwrap ? 'prlimit (Debian: util-linux)' : 'bwrap (Debian: bubblewrap)';
    throw new Error(
      `Marking locks students' code down and needs the program ${lacking}, which is not here. Install it. ${orElse}`,
    );
  }
  const isRoot = process.getuid?.() === 0;
  let why = '';
  for (const dropped of isRoot ? [true, false] : [false]) {
    const confinement = lockedConfinement(stage, bwrap, prlimit, dropped);
    const fault = await starts(confinement);
    if (fault === undefined) return confinement;
    why = fault;
  }
  throw new Error(
    `Marking locks students' code into name spaces, which this machine refuses: ${why} (in a container: allow user name spaces; on Ubuntu: an AppArmor profile for bwrap). ${orElse}`,
  );
}
