import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { built, home } from '../kernel/home';

/** What the handed-out bundles load from node_modules; everything else is bundled (setup/bundles.mjs: external). */
const runTime = ['@types/node', 'tslab', 'zeromq'];

interface LockedPackage {
  readonly version?: string;
  readonly dependencies?: Readonly<Record<string, string>>;
  readonly optionalDependencies?: Readonly<Record<string, string>>;
  readonly [field: string]: unknown;
}
type Packages = Readonly<Record<string, LockedPackage>>;

const readJson = (path: string) => JSON.parse(readFileSync(path, 'utf8'));

/** Where the package at `from` finds `name`: in its own node_modules, else in those above it. */
function place(packages: Packages, from: string, name: string): string | undefined {
  for (let folder = from; ; ) {
    const path = `${folder === '' ? '' : `${folder}/`}node_modules/${name}`;
    if (packages[path]) return path;
    if (folder === '') return undefined;
    folder = folder.slice(0, Math.max(0, folder.lastIndexOf('/node_modules/')));
  }
}

/** All that the packages at `paths` need, themselves included. */
function needed(packages: Packages, paths: readonly string[], alsoOptional: boolean): Set<string> {
  const found = new Set<string>(paths);
  for (const path of found) {
    const { dependencies = {}, optionalDependencies = {} } = packages[path];
    for (const name of Object.keys({ ...dependencies, ...optionalDependencies })) {
      const isOptional = Object.hasOwn(optionalDependencies, name);
      if (isOptional && !alsoOptional) continue;
      const at = place(packages, path, name);
      if (at) found.add(at);
      else if (!isOptional)
        throw new Error(`package-lock.json does not say which ${name} belongs to ${path}.`);
    }
  }
  return found;
}

export interface HandOutPackages {
  readonly manifest: object;
  readonly lock: object;
}

/**
 * package.json and package-lock.json of a hand-out: only what runs there, at this project's own versions.
 *
 * @param more what package.json tells besides, under `multislit`
 */
export function handOutPackages(more: object): HandOutPackages {
  const { name, version, license, type, engines, bin, exports, types, allowScripts } = readJson(
    join(home, 'package.json'),
  );
  const { packages } = readJson(built('lock.json')) as { packages: Packages };
  const tops = runTime.map((each) => `node_modules/${each}`);
  const must = needed(packages, tops, false);
  const entries = [...needed(packages, tops, true)].sort().map((path) => {
    const { dev, optional, devOptional, peer, ...entry } = packages[path];
    return [path, must.has(path) ? entry : { ...entry, optional: true }] as const;
  });
  const dependencies = Object.fromEntries(
    runTime.map((each, i) => [each, packages[tops[i]].version]),
  );
  const own = { name, version, license, dependencies, bin, engines };
  return {
    manifest: {
      name,
      version,
      private: true,
      license,
      type,
      engines,
      bin,
      exports,
      types,
      scripts: { start: 'node kernel-lib/setup/start.mjs' },
      dependencies,
      allowScripts,
      multislit: more,
    },
    lock: {
      name,
      version,
      lockfileVersion: 3,
      requires: true,
      packages: { '': own, ...Object.fromEntries(entries) },
    },
  };
}
