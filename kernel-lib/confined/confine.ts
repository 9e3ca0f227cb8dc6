import { realpathSync } from 'node:fs';
import { join } from 'node:path';
import { built, home } from '../kernel/home';
import { bubbleWords, findProgram, librariesElsewhere } from './bubble';
import { bounds } from './job';
import { type LineProcess, startLineProcess } from './line-process';
import { packageFolders } from './package-folders';
import type { Stage } from './stage';

/** Starts the two kinds of process that marking uses. */
export interface Confinement {
  /** In words for the report. */
  readonly kind: string;
  /** A child for one return. */
  startChild(): LineProcess;
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

/** What Node needs to start at all: Windows this one, a Node with libraries elsewhere the others. */
const startNames = ['SystemRoot', 'LD_LIBRARY_PATH', 'DYLD_LIBRARY_PATH'];

function startEnvironment(): Record<string, string> {
  return Object.fromEntries(
    startNames.flatMap((name) => {
      const value = process.env[name];
      return value === undefined ? [] : [[name, value]];
    }),
  );
}

/**
 * Processes without name spaces: Node's permission flags and an empty environment only.
 *
 * @throws Error where a child does not start this way either
 */
export async function openConfinement(stage: Stage): Promise<Confinement> {
  const node = process.execPath;
  const options = { cwd: stage.folder, env: startEnvironment() };
  const confinement: Confinement = {
    kind: 'WITHOUT lock-down, as asked for',
    startChild: () => startLineProcess(node, childWords(stage.folder), options, 3, bounds.told),
    startConverter: () => startLineProcess(node, [built('convert.cjs')], options, 1, Infinity),
  };
  const fault = await starts(confinement);
  if (fault === undefined) return confinement;
  throw new Error(
    `Students' code cannot be run here: Node (${node}) does not start with its permission flags in ${stage.folder}: ${fault}`,
  );
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
  const elsewhere = librariesElsewhere();
  return {
    kind: 'locked down: name spaces, limits, permission flags',
    startChild() {
      const files = stage.files.map(
        (file) => [join(stage.folder, file), `${inside}/${file}`] as const,
      );
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
        ...bubbleWords(binds, inside, { elsewhere }),
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
        ...bubbleWords([[node, '/node'], ...binds], '/returns', { elsewhere }),
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

/** How the two usual C libraries say that a shared object is not there. */
const lackingLibrary =
  /(?:error while loading shared libraries|Error loading shared library):? ?([^:\s]+)/;

/** What to tell when nothing starts inside. */
function refusal(why: string): string {
  const lacking = lackingLibrary.exec(why)?.[1];
  if (lacking !== undefined)
    return `Marking locks students' code down, and this Node (${realpathSync(process.execPath)}) does not start there: its library ${lacking} lies where the lock-down does not find it. Mark with a Node that brings its libraries along, such as those of nodejs.org or of your system.`;
  return `Marking locks students' code into name spaces, which this machine refuses: ${why} (in a container: allow user name spaces; on Ubuntu: an AppArmor profile for bwrap). ${orElse}`;
}

/** Undefined when a child starts, otherwise what it says. */
async function starts(confinement: Confinement): Promise<string | undefined> {
  const child = confinement.startChild();
  const heard = await child.next(30_000);
  child.kill();
  if ('line' in heard && (heard.line as { at?: unknown } | null)?.at === 'ready') return undefined;
  // Node says where it is before it says what is wrong.
  const said = child.complaint.trim().split('\n');
  return said.find((line) => /error:/i.test(line)) ?? (said[0] || 'it did not start');
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
  throw new Error(refusal(why));
}
