import { mkdtempSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';

export interface Scratch {
  /** A place in the folder; the folder itself without parts. */
  at(...parts: string[]): string;
}

/**
 * A folder for the tests of the file or group that asks for it: made when first used, gone after the last of them. With
 * `KEEP` set it stays, and is told.
 */
export function scratch(name: string): Scratch {
  let folder: string | undefined;
  afterAll(() => {
    if (folder !== undefined && process.env.KEEP) console.log(folder);
    else if (folder !== undefined) rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
    folder = undefined;
  });
  return {
    at(...parts) {
      folder ??= realpathSync(mkdtempSync(join(tmpdir(), name)));
      return join(folder, ...parts);
    },
  };
}
