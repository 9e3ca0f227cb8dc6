import { chmodSync, mkdirSync, statSync } from 'node:fs';

/**
 * Make the folder of marks, closed to other accounts, or close one that is open: its own account only, and the
 * group where it is one that works together, which is seen by its right to write. On Windows folders have no such modes.
 *
 * @returns true where it had been open
 */
export function closeFolder(folder: string): boolean {
  if (mkdirSync(folder, { recursive: true, mode: 0o700 }) !== undefined) return false;
  if (process.platform === 'win32') return false;
  const mode = statSync(folder).mode & 0o7777;
  const together = mode & 0o020 ? 0o7770 : 0o7700;
  if ((mode & together) === mode) return false;
  chmodSync(folder, mode & together);
  return true;
}
