import type { ConvertHost } from '../host';
import { fullTypes, languageTypes, libraryTypes, smallTypes } from './ambient';
import { type TypeScript, ts } from './typescript';

/** The compiler's view of a host's files, and when it looks anew. */
export interface CompilerSystem {
  readonly sys: TypeScript.System;
  /** Look whether the reader's own source files changed since; true when one did. */
  refresh(): boolean;
  /** Show all of the platform's types from the next conversion on. False when they are shown already. */
  useFullTypes(): boolean;
}

const slashed = (path: string) => path.replaceAll('\\', '/');
const packageOfTypes = '{"name":"@types/node","version":"20.0.0","types":"index.d.ts"}';

/**
 * What the compiler sees for one notebook's folder: the host's files; `multislit`, found from every folder that has
 * no copy of its own; and in the place of all packages of types one file with the globals. Nothing is watched:
 * files are looked at when a cell runs.
 *
 * @param withLibrary keep the library's declarations in every program: between two programs that name it, one
 * that does not would have the compiler forget and read all of them again
 */
export function createCompilerSystem(host: ConvertHost, withLibrary: boolean): CompilerSystem {
  const { files } = host;
  const cwd = slashed(host.cwd).replace(/\/$/, '');
  const home = slashed(host.home);
  const typesFolder = `${cwd}/node_modules/@types`;
  const globals = `${typesFolder}/node/index.d.ts`;
  const language = languageTypes();
  const watched = new Map<string, { callback: TypeScript.FileWatcherCallback; at: number }>();
  let globalsChanged: TypeScript.FileWatcherCallback | undefined;
  let full = false;

  // References stand before everything else.
  const globalsText = () =>
    (withLibrary ? libraryTypes : '') +
    (full && host.platformTypes ? fullTypes(slashed(host.platformTypes)) : '') +
    language +
    (full ? '' : smallTypes);

  const made = new Map<string, () => string>([
    [globals, globalsText],
    [`${typesFolder}/node/package.json`, () => packageOfTypes],
  ]);
  const isMadeFolder = (path: string) => path === typesFolder || path === `${typesFolder}/node`;

  function forward(path: string): string {
    const found = /^.*\/node_modules\/multislit(\/.*)?$/.exec(path);
    if (!found || files.isFile(path) || files.isFolder(path)) return path;
    return home + (found[1] ?? '');
  }

  const sys: TypeScript.System = {
    args: [],
    newLine: '\n',
    useCaseSensitiveFileNames: true,
    write() {},
    readFile: (path) => made.get(path)?.() ?? files.read(forward(path)),
    writeFile() {},
    resolvePath: (path) => path,
    fileExists: (path) => made.has(path) || files.isFile(forward(path)),
    // Other folders' packages of types would be read into every cell's program: only the one made here is.
    directoryExists: (path) =>
      isMadeFolder(path) ||
      (!path.endsWith('/node_modules/@types') && files.isFolder(forward(path))),
    createDirectory() {},
    getExecutingFilePath: () => slashed(host.compiler),
    getCurrentDirectory: () => cwd,
    getDirectories: (path) =>
      isMadeFolder(path) ? ['node'] : [...files.list(forward(path)).folders],
    readDirectory: (path, extensions, exclude, include, depth) =>
      ts.matchFiles(
        path,
        extensions,
        exclude,
        include,
        true,
        cwd,
        depth,
        (folder) => {
          const found = files.list(forward(folder));
          return { files: found.files, directories: found.folders };
        },
        (folder) => files.realPath(forward(folder)),
      ),
    realpath: (path) => (made.has(path) ? path : files.realPath(forward(path))),
    exit() {},
    createHash: host.digest,
    watchFile(path, callback) {
      if (path === globals) globalsChanged = callback;
      else if (!path.includes('/node_modules/') && !path.startsWith(`${home}/`))
        watched.set(path, { callback, at: files.changedAt(path) });
      return { close: () => void watched.delete(path) };
    },
    watchDirectory: () => ({ close() {} }),
  };

  return {
    sys,
    refresh() {
      let changed = false;
      for (const [path, seen] of watched) {
        const at = files.changedAt(path);
        if (at === seen.at) continue;
        seen.at = at;
        seen.callback(path, ts.FileWatcherEventKind.Changed);
        changed = true;
      }
      return changed;
    },
    useFullTypes() {
      if (full || host.platformTypes === undefined) return false;
      full = true;
      globalsChanged?.(globals, ts.FileWatcherEventKind.Changed);
      return true;
    },
  };
}
