import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Owners, readOwners } from '../marking/owners';

export const ownersFile = 'owners.csv';

/**
 * What people said of files, out of the folder of marks.
 *
 * @throws Error that names the file and the line; asked before anything is marked
 */
export function ownersIn(folder: string, roster: ReadonlySet<string> | undefined): Owners {
  const file = join(folder, ownersFile);
  if (!existsSync(file)) return new Map();
  try {
    return readOwners(readFileSync(file, 'utf8'), roster);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    throw new Error(`${file}: ${error.message}`);
  }
}
