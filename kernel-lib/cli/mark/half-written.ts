import { readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';

/** A file of ours and the digits that write-file-atomic adds to the name until the file is whole. */
const unfinished = /\.(?:json|csv|html|ipynb|secret)\.\d{1,10}$/;

/**
 * Remove what runs that were cut off had begun to write into a folder of marks. Only what is older than this
 * process: another run may be writing there now.
 */
export function removeHalfWritten(folder: string): void {
  const began = Date.now() - 1000 * process.uptime();
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile() || !unfinished.test(entry.name)) continue;
    const path = join(entry.parentPath, entry.name);
    const info = statSync(path, { throwIfNoEntry: false });
    if (info && info.mtimeMs < began) rmSync(path, { force: true });
  }
}
