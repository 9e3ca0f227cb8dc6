import {
  chmodSync,
  copyFileSync,
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readlinkSync,
  realpathSync,
  rmSync,
} from 'node:fs';
import { basename, delimiter, dirname, join } from 'node:path';
import { aheadFiles } from '../kernel/ahead';
import { built, home } from '../kernel/home';
import { temporaryFolder } from '../kernel/temporary-folder';
import { bounds } from './job';
import { type LineProcess, startLineProcess } from './line-process';

/** A folder with copies of the few files that a confined child may see, readable by any account. */
export interface Stage {
  /** Its real path. */
  readonly folder: string;
  /** The files in it, relative to the folder. */
  readonly files: readonly string[];
  remove(): void;
}

const builtFiles = ['index.cjs', 'confined.cjs'];

/** Copy the library and the child's own code. No sheet, so no formula of any question, and never a key. */
export function createStage(): Stage {
  const folder = temporaryFolder('marking');
  // Said of each by itself: what a new file may be is otherwise cut down for the marks.
  const opened = (path: string, mode: number) => chmodSync(path, mode);
  opened(folder, 0o755);
  mkdirSync(join(folder, '.build'));
  opened(join(folder, '.build'), 0o755);
  const copies = [
    [join(home, 'package.json'), 'package.json'],
    ...builtFiles.map((name) => [built(name), `.build/${name}`]),
  ];
  for (const [from, to] of copies) {
    copyFileSync(from, join(folder, to));
    opened(join(folder, to), 0o644);
  }
  return {
    folder,
    files: copies.map(([, to]) => to),
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** Starts the two kinds of process that marking uses. */
export interface Confinement {
  /** In words for the report. */
  readonly kind: string;
  /**
   * A child for one return.
   *
   * @param files folder of the files that came with it: where its cells look for files, the only ones that they may read
   */
  startChild(files?: string): LineProcess;
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

function childArguments(folder: string, files?: string): string[] {
  const readable = [folder, ...(files === undefined ? [] : [files])];
  return [
    permission(),
    ...readable.map((one) => `--allow-fs-read=${join(one, '*')}`),
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
    startChild(files) {
      const where = { ...options, cwd: files ?? stage.folder };
      const args = childArguments(stage.folder, files);
      return startLineProcess(node, args, where, 3, bounds.messages);
    },
    startConverter: () => startLineProcess(node, [built('convert.cjs')], options, 1, Infinity),
  };
  const fault = await starts(confinement);
  if (fault === undefined) return confinement;
  throw new Error(
    `Students' code cannot be run here: Node (${node}) does not start with its permission flags in ${stage.folder}: ${fault}`,
  );
}

const inside = '/multislit';
const filesInside = '/files';

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
    startChild(files) {
      const parts = stage.files.map(
        (file) => [join(stage.folder, file), `${inside}/${file}`] as const,
      );
      const beside = files === undefined ? [] : [[files, filesInside] as const];
      const binds = [[node, '/node'], [prlimit, '/prlimit'], ...parts, ...beside] as const;
      const limits = [
        `--data=${dataLimit}`,
        '--nproc=64',
        '--nofile=64',
        '--fsize=0',
        '--core=0',
        `--cpu=${mostProcessorTime}`,
      ];
      const args = [
        ...bubbleArguments(binds, inside, { elsewhere }),
        ...(files === undefined ? [] : ['--chdir', filesInside]),
        '/prlimit',
        ...limits,
        '/node',
        ...childArguments(inside, files && filesInside),
      ];
      return startLineProcess(bwrap, args, { ...options, ...account }, 3, bounds.messages);
    },
    startConverter() {
      const parts = ['package.json', '.build/types', '.build/convert.cjs'];
      const paths = [
        ...packageFolders(home),
        ...parts.map((part) => join(home, part)),
        // Of the sheets these alone: no program of any, and no key.
        ...aheadFiles(),
      ];
      const binds = paths.map((path) => [path, path] as const);
      const args = [
        ...bubbleArguments([[node, '/node'], ...binds], '/returns', { elsewhere }),
        '/node',
        '--max-old-space-size=1500',
        built('convert.cjs'),
      ];
      return startLineProcess(bwrap, args, options, 1, Infinity);
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

/** Full path of a program, or undefined. */
function findProgram(name: string): string | undefined {
  return (process.env.PATH ?? '')
    .split(delimiter)
    .filter((folder) => folder.startsWith('/'))
    .map((folder) => join(folder, name))
    .find((path) => existsSync(path));
}

const libraries = ['/usr/lib', '/usr/lib64', '/lib', '/lib64', '/etc/ld.so.cache', '/nix/store'];

/** System libraries, as bubblewrap binds: folders as they are, links as links. */
function libraryBinds(): string[] {
  return libraries.flatMap((path) => {
    const found = lstatSync(path, { throwIfNoEntry: false });
    if (!found) return [];
    return found.isSymbolicLink()
      ? ['--symlink', readlinkSync(path), path]
      : ['--ro-bind', path, path];
  });
}

const isAmongLibraries = (folder: string) =>
  libraries.some((path) => folder.startsWith(`${path}/`));

/**
 * The shared objects that this Node runs with and that lie elsewhere than the system's, as with conda and module
 * systems. Without them it would not start inside.
 */
export function librariesElsewhere(): string[] {
  // Newer than the typings: asking every interface for its name takes seconds.
  const report = process.report as NodeJS.ProcessReport & { excludeNetwork?: boolean };
  report.excludeNetwork = true;
  const { sharedObjects } = report.getReport() as { sharedObjects?: readonly string[] };
  return (sharedObjects ?? []).filter(
    (path) => path.startsWith('/') && /\.so(?:\.|$)/.test(path) && !isAmongLibraries(path),
  );
}

const librariesInside = '/libraries';

/** Each by itself, beside the others: what else lies in their folders is nothing to a child. */
function elsewhereArguments(paths: readonly string[]): string[] {
  if (paths.length === 0) return [];
  const binds = paths.flatMap((path) => ['--ro-bind', path, join(librariesInside, basename(path))]);
  return [...binds, '--setenv', 'LD_LIBRARY_PATH', librariesInside];
}

/**
 * The arguments for bubblewrap: own network (none), processes, IPC, users and files. Visible are Node, system
 * libraries and `binds` (from, to), all read only; nothing can be written.
 *
 * @param elsewhere libraries of Node that lie in other places
 */
export function bubbleArguments(
  binds: readonly (readonly [string, string])[],
  folder: string,
  { program = home, elsewhere = [] }: { program?: string; elsewhere?: readonly string[] } = {},
): string[] {
  // Installed among the system's libraries, this program and its keys would come with them.
  const hides = isAmongLibraries(program);
  return [
    '--unshare-all',
    '--die-with-parent',
    '--new-session',
    '--clearenv',
    '--cap-drop',
    'ALL',
    ...libraryBinds(),
    ...(hides ? ['--tmpfs', program] : []),
    ...['/dev/null', '/dev/urandom'].flatMap((path) => ['--dev-bind', path, path]),
    ...elsewhereArguments(elsewhere),
    ...binds.flatMap(([from, to]) => ['--ro-bind', from, to]),
    '--dir',
    folder,
    ...['/', ...(hides ? [program] : [])].flatMap((path) => ['--remount-ro', path]),
    '--chdir',
    folder,
  ];
}

/**
 * Where the packages of the program in `home` lie: in its own node_modules, or beside it where npm installed it.
 * The folder beside it is told package by package, for the program itself, with its keys, is no part of it.
 */
export function packageFolders(home: string): string[] {
  const nested = join(home, 'node_modules');
  const beside = dirname(home);
  const neighbours =
    basename(beside) === 'node_modules'
      ? readdirSync(beside).filter((name) => !name.startsWith('.') && name !== basename(home))
      : [];
  return [...(existsSync(nested) ? [nested] : []), ...neighbours.map((name) => join(beside, name))];
}
