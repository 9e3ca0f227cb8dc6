import { fileURLToPath } from 'node:url';

/** The folder of package.json. */
export const root = fileURLToPath(new URL('../..', import.meta.url));

/** True when `url` (an import.meta.url) is the script that node was started with. */
export function isMain(url) {
  return process.argv[1] !== undefined && fileURLToPath(url) === process.argv[1];
}
