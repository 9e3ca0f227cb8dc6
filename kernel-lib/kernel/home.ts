import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type * as Library from '../index';

function findHome(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (folder !== dirname(folder)) {
    const file = join(folder, 'package.json');
    if (existsSync(file) && JSON.parse(readFileSync(file, 'utf8')).name === 'multislit')
      return folder;
    folder = dirname(folder);
  }
  throw new Error('The kernel does not find the folder of multislit above its own file.');
}

/** The project's root folder: the one with package.json, the same from the sources and from the build. */
export const home = findHome();

/** A file that the build makes. */
export const built = (name: string): string => join(home, '.build', name);

/** `require` as a file in the project's root sees it. */
export const homeRequire = createRequire(join(home, 'package.json'));

let loaded: typeof Library | undefined;

/** The library that cells see as `multislit`, loaded when first asked for: one instance per process. */
export function library(): typeof Library {
  loaded ??= homeRequire('multislit') as typeof Library;
  return loaded;
}
