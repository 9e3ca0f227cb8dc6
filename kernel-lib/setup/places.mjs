import { existsSync, realpathSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder of package.json. */
export const root = fileURLToPath(new URL('../..', import.meta.url));

/** True when `url` (an import.meta.url) is the script that node was started with. */
export function isMain(url) {
  // Node resolves links in `url` but not in the path that it was started with.
  return process.argv[1] !== undefined && fileURLToPath(url) === realpathSync(process.argv[1]);
}

/** True where sources lie beside the build. A hand-out comes built: there is nothing to build it from. */
export const isWorkingCopy = () => existsSync(join(root, 'tests'));
