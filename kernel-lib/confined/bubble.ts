import { existsSync, lstatSync, readlinkSync } from 'node:fs';
import { basename, delimiter, join } from 'node:path';
import { home } from '../kernel/home';

/** Full path of a program, or undefined. */
export function findProgram(name: string): string | undefined {
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
function elsewhereWords(paths: readonly string[]): string[] {
  if (paths.length === 0) return [];
  const binds = paths.flatMap((path) => ['--ro-bind', path, join(librariesInside, basename(path))]);
  return [...binds, '--setenv', 'LD_LIBRARY_PATH', librariesInside];
}

/**
 * The words for bubblewrap: own network (none), processes, IPC, users and files. Visible are Node, system
 * libraries and `binds` (from, to), all read only; nothing can be written.
 *
 * @param elsewhere libraries of Node that lie in other places
 */
export function bubbleWords(
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
    ...elsewhereWords(elsewhere),
    ...binds.flatMap(([from, to]) => ['--ro-bind', from, to]),
    '--dir',
    folder,
    ...['/', ...(hides ? [program] : [])].flatMap((path) => ['--remount-ro', path]),
    '--chdir',
    folder,
  ];
}
