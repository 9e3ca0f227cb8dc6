import { chmodSync, copyFileSync, mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { built, home } from '../kernel/home';
import { temporaryFolder } from '../kernel/temporary-folder';

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
