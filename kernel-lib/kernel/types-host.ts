import { statSync } from 'node:fs';
import { fullTypes, libraryTypes, smallTypes } from './ambient';
import { home } from './home';
import { languageTypes } from './newer-language';
import { ts } from './typescript';

/** What the converter's compiler sees of the disk. */
export interface TypesHost {
  /** Run `create` so that the converter is made for the folder `cwd`. */
  during<T>(create: () => T): T;
  /** Look whether the reader's own source files changed since; true when one did. */
  refresh(): boolean;
  /** Show all of Node's types from the next conversion on. False when they are shown already. */
  useFullTypes(): boolean;
}

type FileCallback = Parameters<NonNullable<typeof ts.sys.watchFile>>[1];

const slashed = (path: string) => path.replaceAll('\\', '/');
const disk = { ...ts.sys };
const root = slashed(home);
const language = languageTypes();

/** Hosts by the path of the file with the globals: the compiler's view of the disk is one per process. */
const hosts = new Map<string, { text(): string; changed?: FileCallback }>();

/** `multislit` is found from every folder, unless the folder has its own copy installed. */
function forward(path: string): string {
  const found = /^.*\/node_modules\/multislit(\/.*)?$/.exec(path);
  if (!found || disk.fileExists(path) || disk.directoryExists(path)) return path;
  return root + (found[1] ?? '');
}

const typesFolder = (cwd: string) => `${cwd}/node_modules/@types`;
const isTypes = (path: string) => /\/node_modules\/@types(\/node)?$/.test(path);
const ownTypes = (path: string) =>
  hosts.has(`${path}/node/index.d.ts`) || hosts.has(`${path}/index.d.ts`);

function mtime(path: string): number {
  return statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0;
}

ts.sys.readFile = (path, encoding) => {
  const own = hosts.get(path);
  if (own) return own.text();
  if (hosts.has(path.replace(/package\.json$/, 'index.d.ts')))
    return '{"name":"@types/node","version":"20.0.0","types":"index.d.ts"}';
  return disk.readFile(forward(path), encoding);
};
ts.sys.fileExists = (path) =>
  hosts.has(path.replace(/package\.json$/, 'index.d.ts')) || disk.fileExists(forward(path));
ts.sys.directoryExists = (path) =>
  (isTypes(path) && ownTypes(path)) || disk.directoryExists(forward(path));
ts.sys.getDirectories = (path) =>
  isTypes(path) && ownTypes(path) ? ['node'] : disk.getDirectories(forward(path));
ts.sys.realpath = (path) => (hosts.has(path) ? path : disk.realpath!(forward(path)));

/**
 * A view of the disk for one working directory. Nothing is watched: files are looked at when a cell runs.
 *
 * @param withLibrary keep the library's declarations in every program: between two programs that name it, one
 * that does not would have the compiler forget and read all of them again
 */
export function createTypesHost(folder: string, withLibrary = false): TypesHost {
  const cwd = slashed(folder).replace(/\/$/, '');
  const globals = `${typesFolder(cwd)}/node/index.d.ts`;
  let full = false;
  const own: { text(): string; changed?: FileCallback } = {
    // References stand before everything else.
    text: () =>
      (withLibrary ? libraryTypes : '') +
      (full ? fullTypes() : '') +
      language +
      (full ? '' : smallTypes),
  };
  const files = new Map<string, { callback: FileCallback; time: number }>();
  hosts.set(globals, own);

  function watchFile(path: string, callback: FileCallback) {
    if (path === globals) own.changed = callback;
    else if (!path.includes('/node_modules/') && !path.startsWith(`${root}/`))
      files.set(path, { callback, time: mtime(path) });
    return { close: () => void files.delete(path) };
  }
  return {
    during(create) {
      const before = { ...ts.sys };
      const { directoryExists } = ts.sys;
      // Other folders' type packages would be read into every cell's program: only ours is.
      Object.assign(ts.sys, {
        getCurrentDirectory: () => cwd,
        directoryExists: (path: string) =>
          path.endsWith('/node_modules/@types') ? path === typesFolder(cwd) : directoryExists(path),
        watchFile,
        watchDirectory: () => ({ close() {} }),
      });
      try {
        return create();
      } finally {
        Object.assign(ts.sys, {
          getCurrentDirectory: before.getCurrentDirectory,
          directoryExists: before.directoryExists,
        });
      }
    },
    refresh() {
      let changed = false;
      for (const [path, seen] of files) {
        const time = mtime(path);
        if (time === seen.time) continue;
        seen.time = time;
        seen.callback(path, ts.FileWatcherEventKind.Changed);
        changed = true;
      }
      return changed;
    },
    useFullTypes() {
      if (full) return false;
      full = true;
      own.changed?.(globals, ts.FileWatcherEventKind.Changed);
      return true;
    },
  };
}
